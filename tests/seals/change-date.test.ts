import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changeDate, cheapestInterval } from '../../src/seals/change-date.ts';

const weibull = (shape: number, scale: number) => (t: number) => Math.exp(-((t / scale) ** shape));

describe('the cheapest interval', () => {
  // Worked example of a reliability-engineering wiki ("Optimum Replacement Time Example", inputs read in the
  // source); one library prints 493.19 (read), which is where its grid stood: cost is the test, not the age.
  it('is the published one for shape 2.5, scale 1000 h, costs 1 and 5', () => {
    const found = cheapestInterval(weibull(2.5, 1000), { planned: 1, failed: 5 }, 2000);
    expect(found.costPerDay).toBeCloseTo(0.0035, 4);
    expect(Math.abs(found.everyDays - 493.047)).toBeLessThan(3);
    expect(found.costPerDay / 0.00346204274).toBeCloseTo(1, 5);
  });

  // Jardine and Tsang, 2nd edition, solutions of chapter 2, problem 2 (read in the source): life uniform on
  // 0 to 40,000 km, costs 100 and 200; printed cost at four ages and 30,000 km as the best of them.
  describe('is that of the textbook for a life uniform on 0 to 40,000 km', () => {
    const uniform = (km: number): number => Math.max(0, 1 - km / 40000);
    const costAt = (km: number): number => {
      const lived = km - km ** 2 / 80000;
      return (100 * uniform(km) + 200 * (1 - uniform(km))) / lived;
    };

    it.each([
      [10000, 0.0143],
      [20000, 0.01],
      [30000, 0.0093],
      [40000, 0.01],
    ])('at %d km', (km, cost) => {
      expect(costAt(km)).toBeCloseTo(cost, 4);
      // Held at this age by a longest age just above it: the scan may only be better, never worse.
      expect(cheapestInterval(uniform, { planned: 100, failed: 200 }, km).costPerDay).toBeLessThanOrEqual(costAt(km) + 1e-9);
    });

    it('with its least cost near 30,000 km', () => {
      const found = cheapestInterval(uniform, { planned: 100, failed: 200 }, 40000);
      expect(found.costPerDay).toBeCloseTo(0.0093, 4);
      expect(Math.abs(found.everyDays - 30000)).toBeLessThan(1000);
      expect(found.costPerDay).toBeCloseTo(0.00933012702, 8);
    });
  });

  // Recomputed, not published (the first row: inputs from weibull.com, hotwire 96, read; output recomputed).
  it.each([
    [2, 8, 3, 150, 83.122984, 0.03685029449],
    [1, 4, 3, 1, 0.5541532247, 2.763772087],
    [1, 10, 2, 1, 0.3364511957, 6.056121443],
    [1, 5, 2, 1, 0.510655232, 4.085241794],
    [1, 2, 3, 1, 0.8103420276, 1.969962604],
  ])('agrees with recomputed digits: costs %d and %d, shape %d, scale %d', (planned, failed, shape, scale, age, cost) => {
    const found = cheapestInterval(weibull(shape, scale), { planned, failed }, 3 * scale);
    expect(found.costPerDay / cost).toBeCloseTo(1, 4);
    expect(Math.abs(found.everyDays / age - 1)).toBeLessThan(0.02);
  });

  it('is never, when age does not matter', () => {
    const found = cheapestInterval(weibull(1, 100), { planned: 1, failed: 5 }, 1000);
    expect(found.everyDays).toBeGreaterThan(900);
  });

  it('costs no more than any fixed interval', () => {
    const shape = fc.double({ min: 1.2, max: 6, noNaN: true });
    const ratio = fc.double({ min: 1.5, max: 20, noNaN: true });
    const fixed = fc.integer({ min: 5, max: 600 });
    fc.assert(
      fc.property(shape, ratio, fixed, (b, failed, days) => {
        const survival = weibull(b, 150);
        let lived = 0;
        for (let i = 0; i < 2000; i++) lived += (survival(((i + 0.5) * days) / 2000) * days) / 2000;
        const cost = (survival(days) + failed * (1 - survival(days))) / lived;
        expect(cheapestInterval(survival, { planned: 1, failed }, 600).costPerDay).toBeLessThanOrEqual(cost * 1.001);
      }),
      { seed: 3, numRuns: 50 },
    );
  });
});

describe('the change date of the ring in service', () => {
  const survival = weibull(3, 150);
  const costs = { planned: 2, failed: 8 };
  const { costPerDay, everyDays } = cheapestInterval(survival, costs, 400);
  const from = (age: number) => (days: number) => survival(age + days) / survival(age);

  it('is what is left of the interval when the life is known', () => {
    for (const age of [0, 20, 60, 80]) {
      expect(Math.abs(changeDate(from(age), costs, costPerDay, 400, 400).inDays - (everyDays - age))).toBeLessThanOrEqual(1.5);
    }
    expect(changeDate(from(120), costs, costPerDay, 400, 400).inDays).toBe(0);
  });

  it('is never past the longest time without a passed look', () => {
    expect(changeDate(from(0), costs, costPerDay, 30, 400)).toMatchObject({ inDays: 30, why: 'longest-time' });
    expect(changeDate(from(0), costs, costPerDay, -5, 400).inDays).toBe(0);
  });

  it('comes with the chance of failing before it', () => {
    const date = changeDate(from(0), costs, costPerDay, 400, 400);
    expect(date.failsBefore).toBeCloseTo(1 - survival(date.inDays), 10);
  });

  it('looks past a valley near by: a hazard that rises and falls has more than one', () => {
    const mixture = (t: number): number => 0.15 * Math.exp(-((t / 12) ** 4)) + 0.85 * Math.exp(-((t / 200) ** 5));
    const { costPerDay: price } = cheapestInterval(mixture, costs, 600);
    const date = changeDate((days) => mixture(10 + days) / mixture(10), costs, price, 600, 600);
    expect(date.inDays).toBeGreaterThan(60);
  });
});
