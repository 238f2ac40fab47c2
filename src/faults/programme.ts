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

/**
 * A visit booked now that may be called off: costs by layer as for an outcome but without the fee for calling off, which
 * is added to every plan; null where the visit comes before that layer.
 */
export type Booked = { readonly level: Level; readonly costs: readonly (Float64Array | null)[]; readonly cancelFee: number };

/**
 * Everything the exact programme needs, in plain numbers. A set of jobs is a number with bit j for job j. To end in a
 * later layer, with the wait before it, must never cost less than to end in the same way at once.
 */
export type Programme = {
  readonly causes: number;
  /** At most 8. */
  readonly jobs: readonly PlanJob[];
  /** Chance that a cause is still there after a set of jobs was done: `left[(cause << jobs.length) | set]`. */
  readonly left: Float64Array;
  /** Minutes each cold slot offers. */
  readonly slots: readonly number[];
  /** Layer from which hot jobs are possible: 1 when the machine stands cold in its first slot now. */
  readonly hotFrom: 0 | 1;
  readonly outcomes: readonly Outcome[];
  readonly waits: readonly Wait[];
  readonly booked: readonly Booked[];
};

export const MOST_JOBS = 8;

/** Lays out the chances left for every cause and set of jobs. */
export const leftTable = (causes: number, jobs: number, left: (cause: number, set: number) => number): Float64Array =>
  Float64Array.from({ length: causes << jobs }, (_, i) => left(i >> jobs, i & ((1 << jobs) - 1)));

/**
 * The chance left, written as a sum over subsets: left(c, m) is the sum of the coefficients whose set lies in m. A cause
 * that few jobs touch has few terms, so that a whole table over sets costs one pass over them and one subset sum.
 */
export type Terms = {
  /** Terms of cause c stand from `from[c]` to `from[c + 1]`. */
  readonly from: Int32Array;
  readonly sets: Uint8Array;
  readonly coefs: Float64Array;
  /** For each job, the most it can take off the chance left of each cause, whatever was done before. */
  readonly most: readonly Float64Array[];
};

/** 1 for a set of an even number of jobs, -1 for an odd one. */
const sign = (set: number): number => {
  let result = 1;
  for (let rest = set; rest > 0; rest &= rest - 1) result = -result;
  return result;
};

/** Coefficient of one set: the sum of the chances left over its subsets, with alternating sign. */
const coefficient = (left: Float64Array, row: number, set: number): number => {
  let sum = left[row]! * sign(set);
  for (let sub = set; sub > 0; sub = (sub - 1) & set) sum += sign(set ^ sub) * left[row | sub]!;
  return sum;
};

/** Jobs that can matter for a cause: alone, or after all the others. */
const touching = ({ left, jobs }: Programme, cause: number): number => {
  const row = cause << jobs.length;
  const all = (1 << jobs.length) - 1;
  let touched = 0;
  for (let j = 0; j < jobs.length; j += 1) {
    const bit = 1 << j;
    if (left[row | bit]! !== 1 || left[row | all]! !== left[row | (all & ~bit)]!) touched |= bit;
  }
  return touched;
};

export const termsOf = (programme: Programme): Terms => {
  const { causes, jobs, left } = programme;
  const from = new Int32Array(causes + 1);
  const sets: number[] = [];
  const coefs: number[] = [];
  const most = jobs.map(() => new Float64Array(causes));
  for (let c = 0; c < causes; c += 1) {
    const row = c << jobs.length;
    const touched = touching(programme, c);
    for (let set = touched; ; set = (set - 1) & touched) {
      sets.push(set);
      coefs.push(coefficient(left, row, set));
      for (let j = 0; j < jobs.length; j += 1) {
        const gain = left[row | set]! - left[row | set | (1 << j)]!;
        if (gain > most[j]![c]!) most[j]![c] = gain;
      }
      if (set === 0) break;
    }
    from[c + 1] = sets.length;
  }
  return { from, sets: Uint8Array.from(sets), coefs: Float64Array.from(coefs), most };
};

/** The programme with only some of its jobs, numbered anew. Sets of them are given in the new numbers. */
export type Narrowed = {
  readonly jobs: readonly PlanJob[];
  /** The jobs that are in it, in the old numbers. */
  readonly active: number;
  /** Where each set in the old numbers lands, and the way back. */
  readonly place: Uint8Array;
  readonly origin: Uint8Array;
  readonly cold: number;
  readonly hot: number;
  /** Cost and minutes of doing a whole set. */
  readonly cost: Float64Array;
  readonly minutes: Float64Array;
};

const sumOver = (jobs: readonly PlanJob[], of: (job: PlanJob) => number): Float64Array => {
  const sums = new Float64Array(1 << jobs.length);
  jobs.forEach((job, j) => {
    const value = of(job);
    for (let set = 0; set < 1 << j; set += 1) sums[set | (1 << j)] = sums[set]! + value;
  });
  return sums;
};

const setOf = (jobs: readonly PlanJob[], state: PlanJob['state']): number =>
  jobs.reduce((set, job, j) => (job.state === state ? set | (1 << j) : set), 0);

export const narrow = (all: readonly PlanJob[], active: number): Narrowed => {
  const kept = [...all.keys()].filter((j) => (active >> j) & 1);
  const jobs = kept.map((j) => at(all, j));
  const place = new Uint8Array(1 << all.length);
  const origin = new Uint8Array(1 << kept.length);
  for (let set = 0; set < place.length; set += 1) {
    for (let bit = 0; bit < kept.length; bit += 1) place[set]! |= ((set >> kept[bit]!) & 1) << bit;
    if ((set & ~active) === 0) origin[place[set]!] = set;
  }
  return {
    jobs,
    active,
    place,
    origin,
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
  by: Narrowed,
  mass: Float64Array,
  cost: Float64Array | null,
): void => {
  const size = 1 << by.jobs.length;
  table.fill(0, 0, size);
  const { from, sets, coefs } = terms;
  for (let c = 0; c < mass.length; c += 1) {
    const weight = cost === null ? mass[c]! : mass[c]! * cost[c]!;
    if (weight === 0) continue;
    for (let t = from[c]!; t < from[c + 1]!; t += 1) {
      const set = sets[t]!;
      if ((set & ~by.active) === 0) table[by.place[set]!]! += weight * coefs[t]!;
    }
  }
  for (let bit = 1; bit < size; bit <<= 1) {
    for (let set = bit; set < size; set = (set + 1) | bit) table[set]! += table[set ^ bit]!;
  }
};

export const weighed = (mass: Float64Array, cost: Float64Array): number => {
  let sum = 0;
  for (let c = 0; c < mass.length; c += 1) sum += mass[c]! * cost[c]!;
  return sum;
};
