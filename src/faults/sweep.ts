import type { Booked, Level, Narrowed, Outcome, Programme, Terms, Wait } from './programme.ts';
import { fillTable, weighed } from './programme.ts';

type Levelled = { readonly level: Level; readonly costs: readonly (Float64Array | null)[] };

const dearer = (a: Levelled, b: Levelled): boolean =>
  a.costs.every((cost, d) => {
    const other = b.costs[d] ?? null;
    if (cost === null || other === null) return cost === null;
    return cost.every((x, c) => x >= (other[c] ?? 0));
  });

/** What is worth looking at where a level is asked for: no more caution than needed, and nothing that is dearer throughout. */
const worthLooking = <T extends Levelled>(all: readonly T[], level: Level): readonly T[] => {
  const allowed = all.filter((it) => it.level >= level && it.level <= Math.max(level, 1));
  return allowed.filter(
    (it, i) => !allowed.some((other, o) => o !== i && dearer(it, other) && (o < i || !dearer(other, it))),
  );
};

/**
 * For one kind of choice: `over[i][j]` holds, for each layer, numbers whose sum with a mass is above 0 only if choice i
 * is dearer than choice j after any jobs at all. A cause that i makes cheaper counts as if nothing ended it, one that i
 * makes dearer as if every job had been done.
 */
export type Rivals<T extends Levelled> = {
  readonly all: readonly T[];
  readonly over: readonly (readonly (readonly (Float64Array | null)[])[])[];
};

export const rivalsOf = <T extends Levelled>(all: readonly T[], leftAtEnd: Float64Array): Rivals<T> => ({
  all,
  over: all.map((a) =>
    all.map((b) =>
      a.costs.map((cost, d) => {
        const other = b.costs[d] ?? null;
        if (cost === null || other === null) return null;
        return cost.map((x, c) => (x - other[c]!) * (x < other[c]! ? 1 : leftAtEnd[c]!));
      }),
    ),
  ),
});

const alwaysDearer = (over: readonly (Float64Array | null)[], mass: Float64Array): boolean => {
  for (const numbers of over) {
    if (numbers === null || !(weighed(mass, numbers) > 0)) return false;
  }
  return true;
};

const cheapestNow = (all: readonly Levelled[], mass: Float64Array, layer: number): number => {
  let [best, least] = [-1, Infinity];
  for (let i = 0; i < all.length; i += 1) {
    const costs = all[i]!.costs[layer] ?? null;
    const cost = costs === null ? Infinity : weighed(mass, costs);
    if (cost < least) [best, least] = [i, cost];
  }
  return best;
};

/** Leaves out what is dearer for this mass than the cheapest choice of the layer, whatever jobs are done. */
export const inPlay = <T extends Levelled>({ all, over }: Rivals<T>, mass: Float64Array, layer: number): readonly T[] => {
  if (all.length < 2) return all;
  const best = cheapestNow(all, mass, layer);
  if (best < 0) return all;
  return all.filter((_, i) => i === best || !alwaysDearer(over[i]![best]!, mass));
};

export type Choices = {
  readonly outcomes: readonly Outcome[];
  readonly waits: readonly Wait[];
  readonly booked: readonly Booked[];
};

export const choicesAt = ({ outcomes, waits, booked }: Programme, level: Level): Choices => ({
  outcomes: worthLooking(outcomes, level),
  waits: worthLooking(waits, level),
  booked: worthLooking(booked, level),
});

/**
 * Room for one solution, used again and again. Index: layer, then set of narrowed jobs. `left` is the mass not ended,
 * `waits` and `ends` the cheapest way to wait and to end (`…By` says which), `best` the least cost of all.
 */
export type Tables = {
  readonly left: Float64Array;
  readonly waits: readonly Float64Array[];
  readonly waitsBy: readonly Uint8Array[];
  readonly ends: readonly Float64Array[];
  readonly endsBy: readonly Uint8Array[];
  readonly best: readonly Float64Array[];
  readonly scratch: Float64Array;
};

export const emptyTables = (layers: number, size: number): Tables => {
  const numbers = (): readonly Float64Array[] => Array.from({ length: layers }, () => new Float64Array(size));
  const picks = (): readonly Uint8Array[] => Array.from({ length: layers }, () => new Uint8Array(size));
  return {
    left: new Float64Array(size),
    waits: numbers(),
    waitsBy: picks(),
    ends: numbers(),
    endsBy: picks(),
    best: numbers(),
    scratch: new Float64Array(size),
  };
};

/** Which part of a programme is solved, for which mass, from which layer on. */
export type Task = {
  readonly by: Narrowed;
  readonly mass: Float64Array;
  readonly choices: Choices;
  readonly from: number;
  /** One past the last layer that matters: without cold jobs time does not move, except by heating up. */
  readonly to: number;
};

const cheapest = (
  tables: Tables,
  terms: Terms,
  { by, mass }: Task,
  all: readonly { readonly costs: readonly (Float64Array | null)[] }[],
  layer: number,
  into: Float64Array,
  picked: Uint8Array,
): void => {
  const size = 1 << by.jobs.length;
  into.fill(Infinity, 0, size);
  for (let i = 0; i < all.length; i += 1) {
    const cost = all[i]!.costs[layer] ?? null;
    if (cost === null) continue;
    fillTable(tables.scratch, terms, by, mass, cost);
    for (let m = 0; m < size; m += 1) {
      if (!(tables.scratch[m]! < into[m]!)) continue;
      into[m] = tables.scratch[m]!;
      picked[m] = i;
    }
  }
};

export const fillWaits = (tables: Tables, terms: Terms, task: Task): void => {
  fillTable(tables.left, terms, task.by, task.mass, null);
  for (let d = task.from; d < task.to - 1; d += 1) {
    cheapest(tables, terms, task, task.choices.waits, d, tables.waits[d]!, tables.waitsBy[d]!);
  }
};

export const fillEnds = (tables: Tables, terms: Terms, task: Task, ends: readonly (Outcome | Booked)[]): void => {
  for (let d = task.from; d < task.to; d += 1) {
    cheapest(tables, terms, task, ends, d, tables.ends[d]!, tables.endsBy[d]!);
  }
};

/** Jobs that cannot be done at once in a layer. */
export const closedAt = ({ hotFrom }: Programme, by: Narrowed, d: number): number =>
  d < hotFrom ? by.cold | by.hot : by.cold;

/** Lowers the cost of a point to that of doing one job at once. Costs go into the table: a returned number is garbage. */
const takeJob = (tables: Tables, by: Narrowed, d: number, m: number, closed: number): void => {
  const row = tables.best[d]!;
  const left = tables.left[m]!;
  for (let open = ((1 << by.jobs.length) - 1) & ~(m | closed); open > 0; open &= open - 1) {
    const bit = open & -open;
    const cost = by.cost[bit]! * left + row[m | bit]!;
    if (cost < row[m]!) row[m] = cost;
  }
};

/** Lowers it to that of doing some cold jobs together in the next slot, or of letting that slot pass to heat up. */
const takeBundle = (programme: Programme, tables: Tables, by: Narrowed, d: number, m: number): void => {
  const row = tables.best[d]!;
  const after = tables.best[d + 1]!;
  const left = tables.left[m]!;
  const wait = tables.waits[d]![m]!;
  const minutes = programme.slots[d]!;
  if (d < programme.hotFrom && wait + after[m]! < row[m]!) row[m] = wait + after[m]!;
  const free = by.cold & ~m;
  for (let sub = free; sub > 0; sub = (sub - 1) & free) {
    if (by.minutes[sub]! > minutes) continue;
    const cost = wait + (by.cost[sub]! * left + after[m | sub]!);
    if (cost < row[m]!) row[m] = cost;
  }
};

/**
 * Least cost for every point: W(layer, m), when the jobs of set m have failed and `layer` cool-downs are used. At each
 * point one may end it, do one job at once, or wait for the next cold slot and do some cold jobs together, seeing only
 * afterwards whether they helped. In the first layer no cold job can have been done.
 */
export const sweep = (programme: Programme, tables: Tables, { by, from, to }: Task): void => {
  const full = (1 << by.jobs.length) - 1;
  for (let d = to - 1; d >= from; d -= 1) {
    const closed = closedAt(programme, by, d);
    const reach = d === from ? full & ~by.cold : full;
    const row = tables.best[d]!;
    const ends = tables.ends[d]!;
    for (let m = reach; ; m = (m - 1) & reach) {
      row[m] = ends[m]!;
      takeJob(tables, by, d, m, closed);
      if (d < to - 1) takeBundle(programme, tables, by, d, m);
      if (m === 0) break;
    }
  }
};
