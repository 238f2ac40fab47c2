import { at } from './compiled.ts';

/** What goes on while a plan runs, mildest first: nothing changes, the group stands, the machine stands, all are out. */
export const MEANWHILE = ['go-on', 'group-out', 'machine-off', 'leave-room'] as const;
export type Meanwhile = (typeof MEANWHILE)[number];
/** Index into `MEANWHILE`. */
export type Level = 0 | 1 | 2 | 3;

export type OutcomeKind = 'nothing-wrong' | 'book' | 'other-trade';

/** A way to end: what it costs under each cause, one array for each layer (a layer is the number of cool-downs used). */
export type Outcome = { readonly kind: OutcomeKind; readonly level: Level; readonly costs: readonly Float64Array[] };

/** Waiting for the next cool-down: cost under each cause, one array for each cold slot. */
export type Wait = { readonly level: Level; readonly costs: readonly Float64Array[] };

export type PlanJob = {
  readonly id: string;
  /** Staff time, parts and what cannot serve meanwhile, in money. */
  readonly cost: number;
  readonly minutes: number;
  readonly state: 'any' | 'hot' | 'cold';
};

/** A visit booked now that may be called off: costs by layer as for an outcome, null where the visit comes before. */
export type Booked = { readonly level: Level; readonly costs: readonly (Float64Array | null)[]; readonly cancelFee: number };

/** Everything the exact programme needs, in plain numbers. */
export type Programme = {
  readonly causes: number;
  /** At most 8. */
  readonly jobs: readonly PlanJob[];
  /** Chance that a cause is still there after a set of jobs (bit j for job j) was done. */
  readonly left: (cause: number, set: number) => number;
  /** Minutes each cold slot offers; at most 2 slots. */
  readonly slots: readonly number[];
  /** Layer from which hot jobs are possible: 1 when the machine stands cold in its first slot now. */
  readonly hotFrom: 0 | 1;
  readonly outcomes: readonly Outcome[];
  readonly waits: readonly Wait[];
  readonly booked: readonly Booked[];
};

export const MOST_JOBS = 8;

/**
 * The chance left, written as a sum over subsets: left(c, m) = sum of coefs over the terms whose set lies in m. A cause
 * that few jobs touch has few terms, so that a whole table over sets costs one pass over them and one subset sum.
 */
export type Terms = {
  /** Terms of cause c stand from `from[c]` to `from[c + 1]`. */
  readonly from: Int32Array;
  readonly sets: Uint8Array;
  readonly coefs: Float64Array;
};

const touching = (programme: Programme, cause: number): number => {
  const all = (1 << programme.jobs.length) - 1;
  return programme.jobs.reduce((set, _, j) => {
    const without = all & ~(1 << j);
    const touches = programme.left(cause, all) < programme.left(cause, without) || programme.left(cause, 1 << j) < 1;
    return touches ? set | (1 << j) : set;
  }, 0);
};

const bits = (set: number): number => {
  let count = 0;
  for (let rest = set; rest > 0; rest &= rest - 1) count += 1;
  return count;
};

/** All subsets of a set, the empty one included. */
export const subsets = (set: number): readonly number[] => {
  const all: number[] = [0];
  for (let sub = set; sub > 0; sub = (sub - 1) & set) all.push(sub);
  return all;
};

const coefficient = (programme: Programme, cause: number, set: number): number =>
  subsets(set).reduce((sum, sub) => sum + (bits(set ^ sub) % 2 === 0 ? 1 : -1) * programme.left(cause, sub), 0);

export const termsOf = (programme: Programme): Terms => {
  const from = new Int32Array(programme.causes + 1);
  const sets: number[] = [];
  const coefs: number[] = [];
  for (let c = 0; c < programme.causes; c += 1) {
    for (const set of subsets(touching(programme, c))) {
      const coef = coefficient(programme, c, set);
      if (coef === 0) continue;
      sets.push(set);
      coefs.push(coef);
    }
    from[c + 1] = sets.length;
  }
  return { from, sets: Uint8Array.from(sets), coefs: Float64Array.from(coefs) };
};

/** The programme with only some of its jobs, numbered anew. Sets of them are given in the new numbers. */
export type Narrowed = {
  readonly jobs: readonly PlanJob[];
  /** Where each set in the old numbers lands. */
  readonly place: Uint8Array;
  readonly cold: number;
  readonly hot: number;
  /** Cost and minutes of doing a whole set. */
  readonly cost: Float64Array;
  readonly minutes: Float64Array;
};

const sumOver = (jobs: readonly PlanJob[], of: (job: PlanJob) => number): Float64Array =>
  Float64Array.from({ length: 1 << jobs.length }, (_, set) =>
    jobs.reduce((sum, job, j) => ((set >> j) & 1 ? sum + of(job) : sum), 0),
  );

const setOf = (jobs: readonly PlanJob[], state: PlanJob['state']): number =>
  jobs.reduce((set, job, j) => (job.state === state ? set | (1 << j) : set), 0);

export const narrow = (all: readonly PlanJob[], active: number): Narrowed => {
  const kept = [...all.keys()].filter((j) => (active >> j) & 1);
  const jobs = kept.map((j) => at(all, j));
  const place = Uint8Array.from({ length: 1 << all.length }, (_, set) =>
    kept.reduce((out, job, bit) => out | (((set >> job) & 1) << bit), 0),
  );
  return {
    jobs,
    place,
    cold: setOf(jobs, 'cold'),
    hot: setOf(jobs, 'hot'),
    cost: sumOver(jobs, (job) => job.cost),
    minutes: sumOver(jobs, (job) => job.minutes),
  };
};

/** Sum over causes of mass, cost and chance left, for every set of the narrowed jobs, into `table`. */
export const fillTable = (
  table: Float64Array,
  terms: Terms,
  narrowed: Narrowed,
  active: number,
  mass: Float64Array,
  cost: Float64Array | null,
): void => {
  const size = 1 << narrowed.jobs.length;
  table.fill(0, 0, size);
  const { from, sets, coefs } = terms;
  for (let c = 0; c < mass.length; c += 1) {
    const weight = cost === null ? mass[c]! : mass[c]! * cost[c]!;
    if (weight === 0) continue;
    for (let t = from[c]!; t < from[c + 1]!; t += 1) {
      const set = sets[t]!;
      if ((set & ~active) === 0) table[narrowed.place[set]!]! += weight * coefs[t]!;
    }
  }
  for (let bit = 1; bit < size; bit <<= 1) {
    for (let set = bit; set < size; set = (set + 1) | bit) table[set]! += table[set ^ bit]!;
  }
};

/** Cost of an outcome under each cause weighted by mass alone, before any job. */
export const weighed = (mass: Float64Array, cost: Float64Array): number => {
  let sum = 0;
  for (let c = 0; c < mass.length; c += 1) sum += mass[c]! * cost[c]!;
  return sum;
};
