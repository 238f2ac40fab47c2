import { describe, expect, test } from 'vitest';
import { chancesWith, everything, kitFor, splitBySize, type Kit, type KitRequest, type KitVisit, type Outcome } from '../../src/bookings/kit.ts';
import { leastValue } from '../../src/bookings/kit-search.ts';
import { draws, type Draws } from './draws.ts';

const needs = (...parts: readonly string[]) => parts.map((part) => ({ part, count: 1 }));
const seal = (chance: number) => splitBySize(chance, [{ part: 'seal 8', chance: 0.7 }, { part: 'seal 8.5', chance: 0.25 }]);
const values = new Map([
  ['seal 8', 4],
  ['seal 8.5', 4],
  ['screen', 9],
  ['valve kit', 18],
  ['valve', 65],
  ['pump', 140],
]);

const leak: KitVisit = {
  id: 'leak',
  outcomes: [
    ...seal(0.5),
    { chance: 0.2, needs: needs('valve kit') },
    { chance: 0.1, needs: needs('valve') },
    { chance: 0.05, needs: needs('pump', 'screen') },
    { chance: 0.05, needs: [] },
    { chance: 0.05, needs: null },
  ],
};

const request = (change: Partial<KitRequest> = {}): KitRequest => ({ visits: [leak], values, van: new Map(), level: 0.9, ...change });
const bring = (kit: Kit) => kit.bring.map(({ part, count }) => `${count} ${part}`);

describe('parts to bring', () => {
  test('the pump for one chance in twenty stays at home, both likely seals come along', () => {
    const kit = kitFor(request());
    expect(bring(kit)).toEqual(['1 seal 8', '1 seal 8.5', '1 valve', '1 valve kit']);
    expect(kit.visits[0]?.reachable).toBeCloseTo(0.875, 12);
    expect(kit.visits[0]?.chance).toBeCloseTo(0.825, 12);
  });

  test('what is in the van is not fetched again, and is named', () => {
    const kit = kitFor(request({ van: new Map([['valve', 1], ['seal 8', 3], ['drain hose', 2]]) }));
    expect(bring(kit)).toEqual(['1 seal 8.5', '1 valve kit']);
    expect(kit.fromVan).toEqual([{ part: 'seal 8', count: 1 }, { part: 'valve', count: 1 }]);
    expect(kit.value).toBe(22);
  });

  test('nothing that a bag can mend: nothing to bring, and no promise', () => {
    const kit = kitFor(request({ visits: [{ id: 'vessel', outcomes: [{ chance: 0.9, needs: null }] }] }));
    expect(kit).toMatchObject({ bring: [], value: 0, visits: [{ chance: 0, reachable: 0 }] });
  });

  test('two visits share a kit, but not one piece: the second may find the seal gone', () => {
    const two = [{ ...leak, id: 'first' }, { ...leak, id: 'second' }];
    const one = chancesWith(two, new Map([['seal 8', 1]]));
    expect(one[0]?.chance).toBeCloseTo(0.35 + 0.05, 12);
    expect(one[1]?.chance).toBeCloseTo(0.35 * 0.65 + 0.05, 12);
    expect(kitFor(request({ visits: two })).bring).toContainEqual({ part: 'seal 8', count: 2 });
  });

  test('a seal of unknown size: what is not among the sizes cannot be promised', () => {
    expect(seal(0.4).map((outcome) => outcome.chance)).toEqual([0.4 * 0.7, 0.4 * 0.25, expect.closeTo(0.4 * 0.05, 12)]);
    expect(seal(0.4).at(-1)?.needs).toBeNull();
    expect(() => splitBySize(1, [{ part: 'a', chance: 0.7 }, { part: 'b', chance: 0.4 }])).toThrow(RangeError);
  });

  test('a part without a value is a mistake, not a free part', () => {
    expect(() => kitFor(request({ values: new Map() }))).toThrow(RangeError);
  });
});

const randomRequest = (draw: Draws, visits: number, parts: number): KitRequest => {
  const names = Array.from({ length: parts }, (_, i) => `p${i}`);
  const outcome = (): Outcome => {
    const wanted = Array.from({ length: 1 + draw.below(2) }, () => ({ part: draw.one(names), count: 1 + Number(draw.below(4) === 0) }));
    return { chance: draw.unit(), needs: draw.below(8) === 0 ? null : draw.below(8) === 0 ? [] : wanted };
  };
  return {
    visits: Array.from({ length: visits }, (_, i) => {
      const outcomes = Array.from({ length: 2 + draw.below(5) }, outcome);
      const sum = outcomes.reduce((total, one) => total + one.chance, draw.unit());
      return { id: `v${i}`, outcomes: outcomes.map((one) => ({ ...one, chance: one.chance / sum })) };
    }),
    values: new Map(names.map((name) => [name, draw.below(10) === 0 ? 0 : 1 + draw.below(100)])),
    van: new Map(names.filter(() => draw.below(4) === 0).map((name) => [name, 1 + draw.below(2)])),
    level: draw.one([0.5, 0.8, 0.9, 0.95, 1]),
  };
};

/** Plays every combination of outcomes through, piece by piece: nothing shared with the code under test. */
const playedChances = (visits: readonly KitVisit[], carried: ReadonlyMap<string, number>): readonly number[] => {
  const finished = visits.map(() => 0);
  const play = (index: number, chance: number, bag: ReadonlyMap<string, number>): void => {
    const visit = visits[index];
    if (visit === undefined || chance === 0) return;
    let rest = 1;
    for (const outcome of visit.outcomes) {
      rest -= outcome.chance;
      const left = new Map(bag);
      let complete = outcome.needs !== null;
      for (const { part, count } of outcome.needs ?? []) {
        for (let piece = 0; piece < count; piece += 1) {
          const there = left.get(part) ?? 0;
          complete &&= there > 0;
          left.set(part, Math.max(0, there - 1));
        }
      }
      if (complete) finished[index] = (finished[index] ?? 0) + chance * outcome.chance;
      play(index + 1, chance * outcome.chance, left);
    }
    play(index + 1, chance * Math.max(0, rest), bag);
  };
  play(0, 1, carried);
  return finished;
};

/** Tries every kit there is. */
const exhaustive = (asked: KitRequest): number => {
  const most = [...everything(asked.visits)];
  const reachable = playedChances(asked.visits, new Map(most.map(([part]) => [part, 99])));
  let best = Number.POSITIVE_INFINITY;
  const tryAll = (index: number, bought: ReadonlyMap<string, number>, value: number): void => {
    const entry = most[index];
    if (entry === undefined) {
      const carried = new Map([...bought].map(([part, count]) => [part, count + (asked.van.get(part) ?? 0)]));
      const enough = playedChances(asked.visits, carried).every((chance, i) => chance >= asked.level * (reachable[i] ?? 0) - 1e-9);
      if (enough && value < best) best = value;
      return;
    }
    for (let count = 0; count <= entry[1]; count += 1) tryAll(index + 1, new Map(bought).set(entry[0], count), value + count * (asked.values.get(entry[0]) ?? 0));
  };
  tryAll(0, new Map(), 0);
  return best;
};

describe('exact on small cases', () => {
  test.each([
    [1, 6, 150],
    [2, 4, 60],
    [3, 3, 15],
  ])('%i visits with up to %i parts: equal to trying every kit', (visits, parts, runs) => {
    const draw = draws(20300 + visits);
    for (let run = 0; run < runs; run += 1) {
      const asked = randomRequest(draw, visits, 2 + draw.below(parts - 1));
      const kit = kitFor(asked);
      expect(kit.value, `run ${run}`).toBeCloseTo(exhaustive(asked), 9);
      const carried = new Map(asked.van);
      for (const { part, count } of kit.bring) carried.set(part, count + (carried.get(part) ?? 0));
      const played = playedChances(asked.visits, carried);
      kit.visits.forEach((visit, i) => {
        expect(visit.chance).toBeCloseTo(played[i] ?? -1, 9);
        expect(visit.chance).toBeGreaterThanOrEqual(asked.level * visit.reachable - 1e-9);
      });
    }
  });

  test('a higher level never makes the kit cheaper, a fuller van never dearer', () => {
    const draw = draws(20310);
    for (let run = 0; run < 60; run += 1) {
      const asked = randomRequest(draw, 2, 5);
      const at = (level: number, van = asked.van) => kitFor({ ...asked, level, van }).value;
      expect(at(0.95)).toBeGreaterThanOrEqual(at(0.8));
      expect(at(0.9, new Map([...asked.van, ['p0', 5]]))).toBeLessThanOrEqual(at(0.9));
    }
  });

  test('carrying more never makes any visit harder', () => {
    const draw = draws(20311);
    for (let run = 0; run < 200; run += 1) {
      const { visits } = randomRequest(draw, 3, 4);
      const few = new Map([...everything(visits)].map(([part, count]) => [part, draw.below(count + 1)]));
      const more = new Map([...few].map(([part, count]) => [part, count + draw.below(2)]));
      const before = chancesWith(visits, few);
      chancesWith(visits, more).forEach((visit, i) => expect(visit.chance).toBeGreaterThanOrEqual((before[i]?.chance ?? 0) - 1e-12));
    }
  });

  test('thirty causes with a part each: equal to the knapsack solved by dynamic programming over money', () => {
    const draw = draws(20312);
    for (let run = 0; run < 15; run += 1) {
      const parts = Array.from({ length: 30 }, (_, i) => ({ part: `p${i}`, value: 1 + draw.below(90), weight: Math.exp(1.5 * draw.normal()) }));
      const sum = parts.reduce((total, { weight }) => total + weight, 0);
      const outcomes = parts.map(({ part, weight }) => ({ chance: weight / sum, needs: needs(part) }));
      const kit = kitFor({ visits: [{ id: 'v', outcomes }], values: new Map(parts.map(({ part, value }) => [part, value])), van: new Map(), level: 0.9 });
      const money = parts.reduce((total, { value }) => total + value, 0);
      const most = new Float64Array(money + 1);
      parts.forEach(({ value, weight }) => {
        for (let spent = money; spent >= value; spent -= 1) most[spent] = Math.max(most[spent] ?? 0, (most[spent - value] ?? 0) + weight / sum);
      });
      expect(kit.value, `run ${run}`).toBe(most.findIndex((chance) => chance >= 0.9 - 1e-9));
    }
  });

  test('five visits with fourteen parts are still solved to the end', () => {
    const draw = draws(20313);
    for (let run = 0; run < 10; run += 1) {
      const kit = kitFor({ ...randomRequest(draw, 5, 14), level: 0.9 });
      expect(kit.exact).toBe(true);
      expect(kit.visits.every((visit) => visit.chance >= 0.9 * visit.reachable - 1e-9)).toBe(true);
    }
  });

  test('cut short, the search says so and still reaches every target', () => {
    const draw = draws(20314);
    const ways = Array.from({ length: 25 }, () => ({ chance: 1 / 25, needs: Array.from({ length: 20 }, () => Number(draw.below(5) === 0)) }));
    const problem = { parts: Array.from({ length: 20 }, () => ({ value: 1 + draw.below(50), inVan: 0 })), visits: [{ target: 0.7, ways }] };
    const cut = leastValue(problem, 2);
    expect(cut.exact).toBe(false);
    const served = ways.filter((way) => way.needs.every((need, part) => need <= (cut.bought[part] ?? 0)));
    expect(served.length / 25).toBeGreaterThanOrEqual(0.7 - 1e-9);
  });
});
