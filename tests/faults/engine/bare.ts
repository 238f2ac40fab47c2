/** Decision problems of textbooks as bare programmes: chances, jobs, ways to end; nothing of a café. */
import type { Bench } from '../../../src/faults/bench.ts';
import { bench } from '../../../src/faults/bench.ts';
import type { Model } from '../../../src/faults/model.ts';
import type { Solver } from '../../../src/faults/plan.ts';
import { solver } from '../../../src/faults/plan.ts';
import type { Outcome, OutcomeKind, PlanJob } from '../../../src/faults/programme.ts';
import { leftTable } from '../../../src/faults/programme.ts';
import { aCase, situation } from './tiny.ts';

export type BareJob = {
  readonly id: string;
  readonly cost: number;
  /** Chance to end each cause. */
  readonly cures: readonly number[];
} & Partial<PlanJob>;

export type BareEnd = { readonly kind: OutcomeKind; readonly costs: readonly number[] };

export const bareSolver = (causes: number, jobs: readonly BareJob[], ends: readonly BareEnd[]): Solver =>
  solver({
    causes,
    jobs: jobs.map(({ id, cost, minutes = 0, state = 'any' }) => ({ id, cost, minutes, state })),
    left: leftTable(causes, jobs.length, (cause, set) =>
      jobs.reduce((left, { cures }, j) => ((set >> j) & 1 ? left * (1 - cures[cause]!) : left), 1),
    ),
    slots: [],
    hotFrom: 0,
    outcomes: ends.map(({ kind, costs }): Outcome => ({ kind, level: 0, costs: [Float64Array.from(costs)] })),
    waits: [],
    booked: [],
  });

export const ALL = { level: 0, jobs: 0xff } as const;
export const valueOf = (of: Solver, mass: readonly number[]): number => of.value(Float64Array.from(mass), { ...ALL, layer: 0 });

/** A model's questions, decided on with ends of one's own in place of a café's. */
export const bareBench = (of: Model, ends: readonly BareEnd[], readings: Parameters<typeof aCase>[0] = []): Bench => {
  const laid = bench(of, situation({ money: {} }), aCase(readings));
  return { ...laid, limits: ALL, jobs: [], unsafe: { causes: [], handsOn: [] }, solver: bareSolver(of.causes.length, [], ends) };
};
