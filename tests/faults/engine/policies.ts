/** Ways to go through a case, as policies that the exact recursion can cost. */
import { bench } from '../../../src/faults/bench.ts';
import type { Breadth } from '../../../src/faults/next-question.ts';
import { BREADTH, nextMove } from '../../../src/faults/next-question.ts';
import type { Option } from '../../../src/faults/moves.ts';
import type { Act, Point } from './exact.ts';
import { exact } from './exact.ts';
import type { Problem } from './problems.ts';
import { FAMILIES, problem } from './problems.ts';
import { aCase } from './tiny.ts';

type Policy = (point: Point, situation: Problem['situation']) => Act;

const firstAct = ({ steps: [step], end }: Option): Act =>
  step === undefined
    ? { kind: 'end', outcome: end.kind }
    : { kind: 'do', jobs: step.jobs, bundle: step.slot !== null };

/** The engine: ask while it says so, then do the first thing of its plan, then look again. */
export const engine =
  ({ model }: Problem, breadth: Breadth | null): Policy =>
  ({ readings }, situation) => {
    const laid = bench(model, situation, aCase(readings));
    if (breadth === null) return firstAct(laid.solver.plan(laid.chance, laid.limits).best);
    const move = nextMove(laid, breadth);
    return move.kind === 'ask' ? { kind: 'ask', question: move.question } : firstAct(move.options[0]!);
  };

/** No questions; jobs by falling chance over cost, the best prefix of that order, then the cheapest end (no cool-down shared). */
export const chanceOverCost = ({ model, situation }: Problem): number => {
  const { start, costOf, causeChances } = exact(model, situation);
  const chance = causeChances(start);
  const worth = (id: string): number => {
    const job = model.jobs.find((it) => it.id === id)!;
    const cured = model.causes.reduce((total, { id: c }, i) => total + chance[i]! * (job.cures[c] ?? 0), 0);
    return cured / job.parts;
  };
  const order = model.jobs.map(({ id }) => id).sort((a, b) => worth(b) - worth(a));
  const cold = (id: string): boolean => model.jobs.find((it) => it.id === id)!.machine === 'cold';
  const prefix = (length: number, outcome: 'book' | 'other-trade' | 'nothing-wrong'): number =>
    costOf(({ readings, layer }) => {
      const done = readings.filter(({ kind }) => kind === 'tried').length;
      const job = order[done];
      const stuck = job !== undefined && cold(job) && layer >= situation.coldSlots.length;
      if (job === undefined || done >= length || stuck) return { kind: 'end', outcome };
      return { kind: 'do', jobs: [job], bundle: cold(job) };
    });
  const lengths = [...Array(order.length + 1).keys()];
  return Math.min(...(['book', 'other-trade', 'nothing-wrong'] as const).flatMap((end) => lengths.map((n) => prefix(n, end))));
};

export type Compared = {
  readonly family: string;
  readonly exact: number;
  readonly engine: number;
  readonly oneStep: number;
  readonly askNothing: number;
  readonly chanceOverCost: number;
};

/** One step ahead: no second question is looked at, and every first one is. */
const ONE_STEP: Breadth = { exact: 99, first: 99, again: 99, second: 0 };

export const compare = (given: Problem, breadth: Breadth = BREADTH): Compared => {
  const { optimum, costOf } = exact(given.model, given.situation);
  return {
    family: given.family,
    exact: optimum(true),
    engine: costOf(engine(given, breadth)),
    oneStep: costOf(engine(given, ONE_STEP)),
    askNothing: costOf(engine(given, null)),
    chanceOverCost: chanceOverCost(given),
  };
};

export const compareMany = (count: number, breadth: Breadth = BREADTH): readonly Compared[] =>
  Array.from({ length: count }, (_, i) => compare(problem(FAMILIES[i % FAMILIES.length]!, i), breadth));

export type Gaps = { readonly mean: number; readonly p99: number; readonly worst: number; readonly kept: number };

/** How far a way of going on lies above the optimum, and the share it keeps of what asking is worth at best. */
export const gapsOf = (all: readonly Compared[], of: (one: Compared) => number): Gaps => {
  const gaps = all.map((one) => of(one) / one.exact - 1).sort((a, b) => a - b);
  const total = (pick: (one: Compared) => number): number => all.reduce((sum, one) => sum + pick(one), 0);
  const worth = total((one) => one.askNothing - one.exact);
  return {
    mean: gaps.reduce((a, b) => a + b, 0) / gaps.length,
    p99: gaps[Math.ceil(0.99 * gaps.length) - 1] ?? 0,
    worst: gaps.at(-1) ?? 0,
    kept: total((one) => one.askNothing - of(one)) / worth,
  };
};
