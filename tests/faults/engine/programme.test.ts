import { describe, expect, it } from 'vitest';
import { BREADTH } from '../../../src/faults/next-question.ts';
import { bench } from '../../../src/faults/bench.ts';
import type { Stand } from '../../../src/faults/plan.ts';
import { solver } from '../../../src/faults/plan.ts';
import type { Level, Outcome, Programme, Wait } from '../../../src/faults/programme.ts';
import { leftTable } from '../../../src/faults/programme.ts';
import { exact } from './exact.ts';
import { engine } from './policies.ts';
import { problem } from './problems.ts';
import { aCase, randomFrom } from './tiny.ts';

type Random = () => number;

const costs = (random: Random, causes: number, most: number): Float64Array =>
  Float64Array.from({ length: causes }, () => most * (0.2 + 0.8 * random()));

/**
 * Jobs of all states, two cold slots, three ways to end, two levels, a booking: everything at once. As in a café, ending
 * later never saves what waiting for it costs, and a visit booked first and never called off costs what a call costs.
 */
const randomProgramme = (random: Random, jobs: number): Programme => {
  const causes = 6;
  const slots = [20 + Math.floor(60 * random()), 40];
  const cures = Array.from({ length: jobs }, () => Array.from({ length: causes }, () => (random() < 0.4 ? random() : 0)));
  const layered = (most: number): readonly Float64Array[] => {
    const first = costs(random, causes, most);
    const later = first.map((x) => x * (1 + random() / 2));
    return [first, later, later.map((x) => x * (1 + random() / 2))];
  };
  const ends = (['book', 'book', 'other-trade', 'nothing-wrong'] as const).map((kind, i): Outcome => ({
    kind,
    level: (i === 1 ? 1 : 0) as Level,
    costs: layered(i === 0 ? 100 : 150),
  }));
  const cancelFee = 5 * random();
  const call = ends[0]!.costs[0]!;
  const waits = ([0, 1] as const).map((level): Wait => ({ level, costs: layered(20).slice(0, 2) }));
  const waited = waits[0]!.costs[0]!.map((x, c) => Math.min(x, waits[1]!.costs[0]![c]!));
  return {
    causes,
    jobs: Array.from({ length: jobs }, (_, j) => ({
      id: `j${j}`,
      cost: 1 + 25 * random(),
      minutes: 10 + Math.floor(20 * random()),
      state: (['any', 'hot', 'cold', 'cold'] as const)[Math.floor(4 * random())]!,
    })),
    left: leftTable(causes, jobs, (c, set) => cures.reduce((left, row, j) => ((set >> j) & 1 ? left * (1 - row[c]!) : left), 1)),
    slots,
    hotFrom: random() < 0.3 ? 1 : 0,
    outcomes: ends,
    waits,
    booked: [{ level: 0, cancelFee, costs: [call.map((x) => x - cancelFee), call.map((x, c) => x - waited[c]! - cancelFee), null] }],
  };
};

/** The same recursion written straight from its meaning: every sum anew, every set tried, nothing left out. */
const naive = (of: Programme, mass: Float64Array, { level, jobs: allowed, layer }: Stand): number => {
  const bits = of.jobs.length;
  const sum = (set: number, cost: (cause: number) => number): number =>
    mass.reduce((total, m, c) => total + m * of.left[(c << bits) | set]! * cost(c), 0);
  const fits = (set: number, d: number): boolean =>
    of.jobs.reduce((t, { minutes }, j) => ((set >> j) & 1 ? t + minutes : t), 0) <= of.slots[d]!;
  const price = (set: number): number => of.jobs.reduce((t, { cost }, j) => ((set >> j) & 1 ? t + cost : t), 0);
  const best = (d: number, m: number, end: (d: number, m: number) => number): number => {
    let least = end(d, m);
    of.jobs.forEach(({ state }, j) => {
      const bit = 1 << j;
      if (!(allowed & bit) || m & bit || state === 'cold' || (state === 'hot' && d < of.hotFrom)) return;
      least = Math.min(least, price(bit) * sum(m, () => 1) + best(d, m | bit, end));
    });
    if (d >= of.slots.length) return least;
    const wait = Math.min(...of.waits.filter((it) => it.level >= level).map((it) => sum(m, (c) => it.costs[d]![c]!)));
    if (d < of.hotFrom) least = Math.min(least, wait + best(d + 1, m, end));
    for (let set = 1; set < 1 << bits; set += 1) {
      const all = of.jobs.every(({ state }, j) => !((set >> j) & 1) || (state === 'cold' && (allowed >> j) & 1 && !((m >> j) & 1)));
      if (all && fits(set, d)) least = Math.min(least, wait + price(set) * sum(m, () => 1) + best(d + 1, m | set, end));
    }
    return least;
  };
  const ended = best(layer, 0, (d, m) =>
    Math.min(...of.outcomes.filter((it) => it.level >= level).map((it) => sum(m, (c) => it.costs[d]![c]!))),
  );
  if (layer > 0) return ended;
  const booked = of.booked
    .filter((it) => it.level >= level)
    .map(({ cancelFee, costs: by }) =>
      cancelFee * sum(0, () => 1) + best(0, 0, (d, m) => (by[d] === null ? Infinity : sum(m, (c) => by[d]![c]!))),
    );
  return Math.min(ended, ...booked);
};

const massOf = (random: Random): Float64Array => Float64Array.from({ length: 6 }, () => random() ** 3);

describe('the programme over sets of jobs', () => {
  it('is exact to 1e-9 with hot and cold jobs, shared cool-downs, bookings and limits, on 120 random programmes', () => {
    const random = randomFrom(7);
    let worst = 0;
    for (let i = 0; i < 120; i += 1) {
      const of = randomProgramme(random, 3 + (i % 3));
      const solved = solver(of);
      for (const layer of [0, 1]) {
        const mass = massOf(random);
        const stand: Stand = { level: random() < 0.3 ? 1 : 0, jobs: Math.floor(256 * random()), layer };
        worst = Math.max(worst, Math.abs(solved.value(mass, stand) - naive(of, mass, stand)));
      }
    }
    expect(worst).toBeLessThan(1e-9);
  });

  it('with eight jobs too', () => {
    const random = randomFrom(8);
    const of = { ...randomProgramme(random, 8), slots: [60], waits: [], booked: [] };
    const hot: Programme = { ...of, jobs: of.jobs.map((job) => ({ ...job, state: 'hot' as const })), hotFrom: 0 };
    const mass = massOf(random);
    const stand: Stand = { level: 0, jobs: 255, layer: 0 };
    expect(solver(hot).value(mass, stand)).toBeCloseTo(naive(hot, mass, stand), 9);
  });

  it('reads off plans that cost what it says, and estimates never below it', () => {
    const random = randomFrom(9);
    for (let i = 0; i < 60; i += 1) {
      const of = randomProgramme(random, 5);
      const solved = solver(of);
      const mass = massOf(random);
      const stand: Stand = { level: 0, jobs: 255, layer: 0 };
      const value = solved.value(mass, stand);
      expect(solved.plan(mass, stand).best.cost).toBeCloseTo(value, 9);
      expect(solved.estimate(mass, stand)).toBeCloseTo(value, 9);
      for (let k = 0; k < 5; k += 1) {
        const other = massOf(random);
        expect(solved.estimate(other, stand)).toBeGreaterThanOrEqual(solved.value(other, stand) - 1e-9);
      }
    }
  });

  it('scales with the mass and is concave: knowing more never costs', () => {
    const random = randomFrom(10);
    for (let i = 0; i < 60; i += 1) {
      const solved = solver(randomProgramme(random, 4));
      const stand: Stand = { level: 0, jobs: 255, layer: 0 };
      const [a, b] = [massOf(random), massOf(random)];
      const both = a.map((x, c) => x + b[c]!);
      expect(solved.value(a.map((x) => 3 * x), stand)).toBeCloseTo(3 * solved.value(a, stand), 8);
      expect(solved.value(a, stand) + solved.value(b, stand)).toBeLessThanOrEqual(solved.value(both, stand) + 1e-9);
    }
  });

  it('leaves a job that may not be offered out of every option', () => {
    const random = randomFrom(12);
    for (let i = 0; i < 40; i += 1) {
      const solved = solver(randomProgramme(random, 5));
      const { options } = solved.plan(massOf(random), { level: 0, jobs: 0b10101 });
      const used = options.flatMap(({ steps }) => steps.flatMap(({ jobs }) => jobs));
      expect(used.filter((id) => id === 'j1' || id === 'j3')).toEqual([]);
    }
  });
});

describe('jobs alone, in a café', () => {
  it.each(['plain', 'shared facts', 'cold jobs'] as const)('are planned exactly to 1e-9 on 200 random problems: %s', (family) => {
    let worst = 0;
    for (let seed = 0; seed < 200; seed += 1) {
      const given = problem(family, seed);
      const laid = bench(given.model, given.situation, aCase());
      const planned = laid.solver.plan(laid.chance, laid.limits).best.cost;
      worst = Math.max(worst, Math.abs(planned - exact(given.model, given.situation).optimum(false)));
    }
    expect(worst).toBeLessThan(1e-9);
  });

  it('with two faults at once are never planned below the optimum, and re-planned after each try stay near it', () => {
    let below = 0;
    const gaps: number[] = [];
    for (let seed = 0; seed < 200; seed += 1) {
      const given = problem('pairs', seed);
      const quiet = { ...given, model: { ...given.model, questions: [], symptoms: given.model.symptoms.map((it) => ({ ...it, questions: [] })) } };
      const laid = bench(given.model, given.situation, aCase());
      const worlds = exact(quiet.model, quiet.situation);
      const optimum = worlds.optimum(false);
      below = Math.max(below, optimum - laid.solver.plan(laid.chance, laid.limits).best.cost);
      gaps.push(worlds.costOf(engine(quiet, BREADTH)) / optimum - 1);
    }
    expect(below).toBeLessThan(1e-9);
    expect(Math.max(...gaps)).toBeLessThan(0.01);
  });
});
