import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  chanceOfRunningOut,
  expectedCost,
  expectedShort,
  needOfCafe,
  needOfOne,
  orderAdvice,
  reorderPoint,
  riskWorthTaking,
  sumOfNeeds,
  type Need,
} from '../../src/parts/reorder.ts';

/** Poisson chances to far beyond the mean: the reference tables are for Poisson demand. */
const poisson = (mean: number): Need => {
  const chances = [Math.exp(-mean)];
  for (let count = 1; count < mean * 4 + 40; count += 1) chances.push(((chances[count - 1] ?? 0) * mean) / count);
  return chances;
};

describe('how many to keep', () => {
  // Stevenson, Operations Management, 14th ed., Table 12.3: demand .20 .40 .30 .10, shortage 4200, excess 800;
  // expected costs 5460, 2260, 1060, 1360; best stock 2.
  test('spare parts for a press, as printed', () => {
    const need = [0.2, 0.4, 0.3, 0.1];
    const costs = { missing: 4200, spare: 800 };
    expect([0, 1, 2, 3].map((stock) => Math.round(expectedCost(need, stock, costs)))).toEqual([5460, 2260, 1060, 1360]);
    expect(riskWorthTaking(costs)).toBeCloseTo(1 - 0.84, 12);
    expect(reorderPoint(need, riskWorthTaking(costs))).toBe(2);
  });

  // Stevenson, 14th ed., Example 15: Poisson mean 4, shortage 3, excess 2, level .60; cumulative as printed; stock 4.
  test('Poisson demand of mean 4, as printed', () => {
    const need = poisson(4);
    const cumulative = [0, 1, 2, 3, 4, 5].map((stock) => 1 - chanceOfRunningOut(need, stock));
    [0.018, 0.092, 0.238, 0.433, 0.629, 0.785].forEach((printed, i) => expect(cumulative[i]).toBeCloseTo(printed, 3));
    expect(reorderPoint(need, riskWorthTaking({ missing: 3, spare: 2 }))).toBe(4);
  });

  // Inputs of a printed order-up-to exercise (daily Poisson 1.5, lead 3 days, daily orders); answers recomputed.
  test('four days of Poisson 1.5: stock 8 runs out with .1528, the ratio 6/6.01 asks for 14', () => {
    const need = sumOfNeeds([1, 2, 3, 4].map(() => poisson(1.5)));
    expect(chanceOfRunningOut(need, 8)).toBeCloseTo(0.1528, 4);
    expect(reorderPoint(need, 0.01 / 6.01)).toBe(14);
  });

  // Base stock with a Poisson pipeline (Palm's theorem): fill rate P(X <= s - 1) and expected back-orders, recomputed.
  test.each([
    [1, 1, 0.3679, 0.3679],
    [1, 3, 0.9197, 0.0233],
    [2, 2, 0.406, 0.5413],
    [2, 4, 0.8571, 0.0751],
    [4, 5, 0.6288, 0.4103],
    [4, 8, 0.9489, 0.0336],
  ])('pipeline of mean %f with stock %i: fill %f, short %f', (mean, stock, fill, short) => {
    expect(1 - chanceOfRunningOut(poisson(mean), stock - 1)).toBeCloseTo(fill, 4);
    expect(expectedShort(poisson(mean), stock)).toBeCloseTo(short, 4);
  });

  // Poisson quantiles for .80 .90 .95 .98 .99 .995 .999, recomputed.
  test.each([
    [0.5, [1, 1, 2, 2, 3, 3, 4]],
    [1, [2, 2, 3, 3, 4, 4, 5]],
    [2, [3, 4, 5, 5, 6, 6, 8]],
    [4, [6, 7, 8, 9, 9, 10, 11]],
    [6, [8, 9, 10, 12, 12, 13, 15]],
  ])('quantiles of Poisson %f', (mean, quantiles) => {
    const levels = [0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999];
    expect(levels.map((level) => reorderPoint(poisson(mean), 1 - level))).toEqual(quantiles);
  });

  // Sum of unequal chances .35 .2 .15 .1 .1 .05, by enumeration.
  test('six groups with unequal chances', () => {
    const need = sumOfNeeds([0.35, 0.2, 0.15, 0.1, 0.1, 0.05].map(needOfOne));
    const exact = [0.340119, 0.42167475, 0.19149125, 0.0417825, 0.0046725, 0.00025475, 0.00000525];
    exact.forEach((chance, count) => expect(need[count]).toBeCloseTo(chance, 12));
    expect(chanceOfRunningOut(need, 1)).toBeCloseTo(0.23820625, 12);
    expect(chanceOfRunningOut(need, 2)).toBeCloseTo(0.046715, 12);
  });

  test('running the sum over every outcome by hand gives the same chances', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 7 }), (chances) => {
        const byHand = Array.from({ length: chances.length + 1 }, () => 0);
        for (let outcome = 0; outcome < 1 << chances.length; outcome += 1) {
          const chance = chances.reduce((product, p, i) => product * (outcome & (1 << i) ? p : 1 - p), 1);
          const count = chances.reduce((sum, _, i) => sum + ((outcome >> i) & 1), 0);
          byHand[count] = (byHand[count] ?? 0) + chance;
        }
        const need = sumOfNeeds(chances.map(needOfOne));
        byHand.forEach((chance, count) => expect(need[count]).toBeCloseTo(chance, 12));
      }),
      { seed: 20266 },
    );
  });
});

describe('what groups of one café share', () => {
  test('four groups that fail together or not at all want more on the shelf than their average chance says', () => {
    const together = [
      { weight: 0.75, needs: [0, 0, 0, 0].map(needOfOne) },
      { weight: 0.25, needs: [1, 1, 1, 1].map(needOfOne) },
    ];
    const average = sumOfNeeds([0.25, 0.25, 0.25, 0.25].map(needOfOne));
    expect(reorderPoint(average, 0.05)).toBe(3);
    expect(reorderPoint(needOfCafe(together), 0.05)).toBe(4);
    expect(chanceOfRunningOut(needOfCafe(together), 3)).toBeCloseTo(0.25, 12);
    expect(chanceOfRunningOut(average, 3)).toBeLessThan(0.01);
  });

  test('the average need is that of the chances, whatever is shared; it adds up to one', () => {
    const chance = fc.double({ min: 0, max: 1, noNaN: true });
    const point = fc.record({ weight: fc.double({ min: 0.01, max: 5, noNaN: true }), chances: fc.array(chance, { minLength: 2, maxLength: 4 }) });
    fc.assert(
      fc.property(fc.array(point, { minLength: 1, maxLength: 6 }), (points) => {
        const need = needOfCafe(points.map(({ weight, chances }) => ({ weight, needs: chances.map(needOfOne) })));
        const weight = points.reduce((sum, p) => sum + p.weight, 0);
        const mean = points.reduce((sum, p) => sum + (p.weight / weight) * p.chances.reduce((a, b) => a + b, 0), 0);
        expect(need.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 10);
        expect(expectedShort(need, 0)).toBeCloseTo(mean, 10);
      }),
      { seed: 20267 },
    );
  });

  test('no point with any weight is a mistake, not an empty shelf', () => {
    expect(() => needOfCafe([{ weight: 0, needs: [] }])).toThrow(RangeError);
  });
});

describe('when to order', () => {
  const need = sumOfNeeds([0.5, 0.5].map(needOfOne));

  test('what is on its way counts: no second order for one gap', () => {
    expect(orderAdvice(need, 0.05, { onHand: 0, onOrder: 0 })).toMatchObject({ kind: 'order', pieces: 2, runningOut: 0.75 });
    expect(orderAdvice(need, 0.05, { onHand: 0, onOrder: 2 })).toEqual({ kind: 'enough', spare: 0 });
  });

  test('whole packs', () => {
    expect(orderAdvice(need, 0.05, { onHand: 1, onOrder: 0 }, 5)).toMatchObject({ packs: 1, pieces: 5 });
  });

  test('a smaller risk never means less stock; the point is the smallest that keeps it', () => {
    const chances = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 6 });
    const risk = fc.double({ min: 0.001, max: 0.9, noNaN: true });
    fc.assert(
      fc.property(chances, risk, risk, (ps, a, b) => {
        const sum = sumOfNeeds(ps.map(needOfOne));
        const point = reorderPoint(sum, a);
        expect(chanceOfRunningOut(sum, point)).toBeLessThanOrEqual(a + 1e-9);
        if (point > 0) expect(chanceOfRunningOut(sum, point - 1)).toBeGreaterThan(a);
        expect(reorderPoint(sum, Math.min(a, b))).toBeGreaterThanOrEqual(reorderPoint(sum, Math.max(a, b)));
      }),
      { seed: 20268 },
    );
  });
});
