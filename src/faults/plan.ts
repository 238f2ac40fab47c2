import { at } from './compiled.ts';
import type { Booked, Level, Meanwhile, Narrowed, Outcome, OutcomeKind, Programme, Wait } from './programme.ts';
import { fillTable, MEANWHILE, narrow, termsOf, weighed } from './programme.ts';

/** Jobs done one after the other now (one job, `slot` null), or together in one cool-down. */
export type Step = {
  readonly jobs: readonly string[];
  /** Index of the cold slot, or null when done at once. */
  readonly slot: number | null;
  /** What happens until then. */
  readonly meanwhile: Meanwhile;
};

/** One thing to do next, followed by the best of everything after it. */
export type Option = {
  /** Expected cost in the café's money. */
  readonly cost: number;
  readonly steps: readonly Step[];
  /** What ends the plan when every step failed. */
  readonly end: { readonly kind: OutcomeKind; readonly meanwhile: Meanwhile };
  /** True when the visit is booked at once and the steps are tried before it comes. */
  readonly bookedFirst: boolean;
};

export type Plan = { readonly best: Option; readonly options: readonly Option[] };

/** What the rules allow: the least level of caution, and the set of jobs that may be offered (bit j for job j). */
export type Limits = { readonly level: Level; readonly jobs: number };

export type Solver = {
  readonly programme: Programme;
  /**
   * Least expected cost over all plans, for a mass over causes (it need not sum to 1; the cost scales with it), when
   * `layer` cool-downs are used already; what was spent and waited before is not in it.
   */
  readonly value: (mass: Float64Array, limits: Limits, layer?: number) => number;
  /** What a step costs until it is seen to have failed or not, when it is the first. */
  readonly stepCost: (mass: Float64Array, limits: Limits, step: Step) => number;
  readonly plan: (mass: Float64Array, limits: Limits) => Plan;
};

type Levelled = { readonly level: Level; readonly costs: readonly (Float64Array | null)[] };

const dearer = (a: Levelled, b: Levelled): boolean =>
  a.costs.every((cost, d) => {
    const other = b.costs[d] ?? null;
    return cost === null || (other !== null && cost.every((x, c) => x >= at(other, c)));
  });

/** What is worth looking at where a level is asked for: no more caution than needed, and nothing that is dearer throughout. */
const worthLooking = <T extends Levelled>(all: readonly T[], level: Level): readonly T[] => {
  const allowed = all.filter((it) => it.level >= level && it.level <= Math.max(level, 1));
  return allowed.filter((it, i) => !allowed.some((other, o) => o !== i && dearer(it, other) && (o < i || !dearer(other, it))));
};

type Choices = {
  readonly outcomes: readonly Outcome[];
  readonly waits: readonly Wait[];
  readonly booked: readonly Booked[];
};

const choicesAt = ({ outcomes, waits, booked }: Programme, level: Level): Choices => ({
  outcomes: worthLooking(outcomes, level),
  waits: worthLooking(waits, level),
  booked: worthLooking(booked, level),
});

type Tables = {
  readonly left: Float64Array;
  readonly waits: readonly Float64Array[];
  readonly ends: readonly Float64Array[];
  readonly best: readonly Float64Array[];
  readonly scratch: Float64Array;
};

const tables = (layers: number): Tables => {
  const many = (): readonly Float64Array[] => Array.from({ length: layers }, () => new Float64Array(256));
  return { left: new Float64Array(256), waits: many(), ends: many(), best: many(), scratch: new Float64Array(256) };
};

const takeLess = (into: Float64Array, other: Float64Array, size: number): void => {
  for (let m = 0; m < size; m += 1) if (other[m]! < into[m]!) into[m] = other[m]!;
};

/**
 * Solves one programme, as often as wanted. W(layer, m) is the least cost from the moment on when the jobs of set m have
 * failed and `layer` cool-downs are used: end it, do one job at once, or wait for the next cold slot and do some of the
 * cold jobs together, seeing only afterwards whether they helped.
 */
export const solver = (programme: Programme): Solver => {
  const { jobs, slots, hotFrom } = programme;
  const choices = ([0, 1, 2, 3] as const).map((level) => choicesAt(programme, level));
  const terms = termsOf(programme);
  const most = slots.length + 1;
  const work = tables(most);
  const narrowings = new Map<number, Narrowed>();
  const everything = (1 << jobs.length) - 1;
  const leftAtEnd = Float64Array.from({ length: programme.causes }, (_, c) => programme.left(c, everything));
  const worst = worstCosts(programme);
  const gains = jobs.map((_, j) =>
    Float64Array.from({ length: programme.causes }, (_, c) => at(worst, c) * mostEnded(programme, c, j)),
  );

  const narrowed = (active: number): Narrowed => {
    const known = narrowings.get(active);
    if (known !== undefined) return known;
    const fresh = narrow(jobs, active);
    narrowings.set(active, fresh);
    return fresh;
  };

  /** Drops jobs that cannot pay for themselves at any point of any plan. */
  const worthwhile = (mass: Float64Array, allowed: number): number => {
    if (allowed === 0) return 0;
    const least = weighed(mass, leftAtEnd);
    let active = 0;
    for (let j = 0; j < jobs.length; j += 1) {
      if ((allowed >> j) & 1 && weighed(mass, gains[j]!) > jobs[j]!.cost * least) active |= 1 << j;
    }
    return active;
  };

  const cheapest = (all: readonly { costs: readonly Float64Array[] }[], mass: Float64Array, layer: number): number => {
    let least = Infinity;
    for (const { costs } of all) least = Math.min(least, weighed(mass, costs[layer]!));
    return least;
  };

  /** Layers that matter from one on: without cold jobs time does not move, except by heating up. */
  const layersOf = (by: Narrowed, from: number): number =>
    by.cold !== 0 || hotFrom > from ? most : Math.min(from + 1, most);

  const fillShared = (mass: Float64Array, level: Level, by: Narrowed, active: number, from: number): void => {
    fillTable(work.left, terms, by, active, mass, null);
    const size = 1 << by.jobs.length;
    for (let d = from; d < layersOf(by, from) - 1; d += 1) {
      work.waits[d]!.fill(Infinity, 0, size);
      for (const wait of choices[level]!.waits) {
        fillTable(work.scratch, terms, by, active, mass, at(wait.costs, d));
        takeLess(work.waits[d]!, work.scratch, size);
      }
    }
  };

  const fillEnds = (mass: Float64Array, level: Level, by: Narrowed, active: number, from: number): void => {
    const size = 1 << by.jobs.length;
    for (let d = from; d < layersOf(by, from); d += 1) {
      work.ends[d]!.fill(Infinity, 0, size);
      for (const outcome of choices[level]!.outcomes) {
        fillTable(work.scratch, terms, by, active, mass, at(outcome.costs, d));
        takeLess(work.ends[d]!, work.scratch, size);
      }
    }
  };

  const fillBooked = (mass: Float64Array, booked: Booked, by: Narrowed, active: number): void => {
    for (let d = 0; d < layersOf(by, 0); d += 1) {
      const cost = at(booked.costs, d);
      if (cost === null) work.ends[d]!.fill(Infinity);
      else fillTable(work.ends[d]!, terms, by, active, mass, cost);
    }
  };

  const sweep = (by: Narrowed, from: number): void => {
    const layers = layersOf(by, from);
    for (let d = layers - 1; d >= from; d -= 1) {
      for (let m = (1 << by.jobs.length) - 1; m >= 0; m -= 1) {
        let least = Math.min(work.ends[d]![m]!, bestJob(work, by, d, m, d < hotFrom));
        if (d < layers - 1) least = Math.min(least, bestBundle(work, by, d, m, slots[d]!, d < hotFrom));
        work.best[d]![m] = least;
      }
    }
  };

  const bookings = (by: Narrowed, level: Level): readonly Booked[] =>
    by.cold === 0 ? [] : choices[level]!.booked;

  const solveBooked = (mass: Float64Array, booked: Booked, by: Narrowed, active: number): number => {
    fillBooked(mass, booked, by, active);
    sweep(by, 0);
    return work.best[0]![0]! + booked.cancelFee * work.left[0]!;
  };

  const value = (mass: Float64Array, limits: Limits, layer = 0): number => {
    const active = worthwhile(mass, limits.jobs);
    if (active === 0) return cheapest(choices[limits.level]!.outcomes, mass, layer);
    const by = narrowed(active);
    fillShared(mass, limits.level, by, active, layer);
    fillEnds(mass, limits.level, by, active, layer);
    sweep(by, layer);
    if (layer > 0) return work.best[layer]![0]!;
    let least = work.best[0]![0]!;
    for (const booked of bookings(by, limits.level)) least = Math.min(least, solveBooked(mass, booked, by, active));
    return least;
  };

  const plan = (mass: Float64Array, limits: Limits): Plan => {
    const active = worthwhile(mass, limits.jobs);
    const by = narrowed(active);
    const cost = (costs: Float64Array, set: number): number => {
      fillTable(work.scratch, terms, by, active, mass, costs);
      return at(work.scratch, set);
    };
    const { outcomes, waits } = at(choices, limits.level);
    const sight: Sight = { programme, outcomes, waits, work, by, layers: layersOf(by, 0), level: limits.level, cost };
    fillShared(mass, limits.level, by, active, 0);
    fillEnds(mass, limits.level, by, active, 0);
    sweep(by, 0);
    const options = moves(sight, 0, 0, null).flatMap((move) => follow(sight, move, null));
    for (const booked of bookings(by, limits.level)) {
      solveBooked(mass, booked, by, active);
      const tries = moves(sight, 0, 0, booked).filter((move) => move.next !== null);
      options.push(...tries.flatMap((move) => follow(sight, move, booked)));
    }
    options.sort((a, b) => a.cost - b.cost);
    return { best: at(options, 0), options };
  };

  const stepCost = (mass: Float64Array, limits: Limits, { jobs: ids, slot }: Step): number => {
    const spent = jobs.reduce((sum, { id, cost }) => (ids.includes(id) ? sum + cost : sum), 0);
    const done = spent * mass.reduce((a, b) => a + b, 0);
    return slot === null ? done : done + cheapest(choices[limits.level]!.waits, mass, slot);
  };

  return { programme, value, stepCost, plan };
};

/** More than any plan can spend on a cause: the dearest end and wait, and every job once. */
const worstCosts = ({ causes, jobs, outcomes, waits }: Programme): Float64Array => {
  const work = jobs.reduce((sum, job) => sum + job.cost, 0);
  return Float64Array.from({ length: causes }, (_, c) => {
    const end = Math.max(...outcomes.flatMap(({ costs }) => costs.map((cost) => at(cost, c))));
    const wait = waits.reduce((sum, { costs }) => sum + costs.reduce((all, cost) => all + at(cost, c), 0), 0);
    return end + wait + work;
  });
};

/** No job takes more than this from what is left of a cause, whatever was done before. */
const mostEnded = ({ left, jobs }: Programme, cause: number, job: number): number => {
  let most = 0;
  for (let set = 0; set < 1 << jobs.length; set += 1) {
    if (!((set >> job) & 1)) most = Math.max(most, left(cause, set) - left(cause, set | (1 << job)));
  }
  return most;
};

const bestJob = (work: Tables, by: Narrowed, d: number, m: number, cold: boolean): number => {
  let least = Infinity;
  const closed = m | by.cold | (cold ? by.hot : 0);
  for (let j = 0; j < by.jobs.length; j += 1) {
    const bit = 1 << j;
    if (closed & bit) continue;
    least = Math.min(least, by.cost[bit]! * work.left[m]! + work.best[d]![m | bit]!);
  }
  return least;
};

/** Also: let a machine that stands cold heat up without a cold job, to be able to do the hot ones. */
const bestBundle = (work: Tables, by: Narrowed, d: number, m: number, minutes: number, cold: boolean): number => {
  const after = work.best[d + 1]!;
  const wait = work.waits[d]![m]!;
  let least = cold ? wait + after[m]! : Infinity;
  const free = by.cold & ~m;
  for (let sub = free; sub > 0; sub = (sub - 1) & free) {
    if (by.minutes[sub]! > minutes) continue;
    least = Math.min(least, wait + by.cost[sub]! * work.left[m]! + after[m | sub]!);
  }
  return least;
};

type Sight = {
  readonly programme: Programme;
  readonly outcomes: readonly Outcome[];
  readonly waits: readonly Wait[];
  readonly work: Tables;
  readonly by: Narrowed;
  readonly layers: number;
  readonly level: Level;
  /** Cost of a vector over causes after a set of jobs. */
  readonly cost: (costs: Float64Array, set: number) => number;
};

type Move = {
  readonly cost: number;
  readonly step: Step | null;
  readonly end: Option['end'] | null;
  readonly next: readonly [number, number] | null;
};

const ending = (kind: OutcomeKind, level: Level): Option['end'] => ({ kind, meanwhile: MEANWHILE[level] });

const ends = ({ outcomes, cost }: Sight, d: number, m: number, booked: Booked | null): readonly Move[] => {
  const end = (it: { kind: OutcomeKind; level: Level }, costs: Float64Array): Move => ({
    cost: cost(costs, m),
    step: null,
    end: ending(it.kind, it.level),
    next: null,
  });
  if (booked !== null) {
    const costs = at(booked.costs, d);
    return costs === null ? [] : [end({ kind: 'book', level: booked.level }, costs)];
  }
  return outcomes.map((outcome) => end(outcome, at(outcome.costs, d)));
};

const jobMoves = ({ programme, work, by, level }: Sight, d: number, m: number): readonly Move[] =>
  [...by.jobs.keys()]
    .filter((j) => !((m | by.cold | (d < programme.hotFrom ? by.hot : 0)) & (1 << j)))
    .map((j) => ({
      cost: at(by.cost, 1 << j) * at(work.left, m) + at(at(work.best, d), m | (1 << j)),
      step: { jobs: [at(by.jobs, j).id], slot: null, meanwhile: MEANWHILE[level] },
      end: null,
      next: [d, m | (1 << j)],
    }));

const cheapestWait = ({ waits, cost }: Sight, d: number, m: number): Wait | null =>
  waits.reduce<Wait | null>(
    (a, b) => (a === null || cost(at(b.costs, d), m) < cost(at(a.costs, d), m) ? b : a),
    null,
  );

const bundleMoves = (sight: Sight, d: number, m: number): readonly Move[] => {
  const { programme, work, by, layers } = sight;
  const wait = d < layers - 1 ? cheapestWait(sight, d, m) : null;
  if (wait === null) return [];
  const meanwhile = MEANWHILE[wait.level];
  const all: Move[] = [];
  const free = by.cold & ~m;
  for (let sub = free; sub > 0; sub = (sub - 1) & free) {
    if (at(by.minutes, sub) > at(programme.slots, d)) continue;
    const ids = by.jobs.filter((_, j) => (sub >> j) & 1).map(({ id }) => id);
    const cost = at(at(work.waits, d), m) + at(by.cost, sub) * at(work.left, m) + at(at(work.best, d + 1), m | sub);
    all.push({ cost, step: { jobs: ids, slot: d, meanwhile }, end: null, next: [d + 1, m | sub] });
  }
  if (d >= programme.hotFrom) return all;
  const heated = at(at(work.waits, d), m) + at(at(work.best, d + 1), m);
  return [...all, { cost: heated, step: null, end: null, next: [d + 1, m] }];
};

/** Everything that can be done at one point; what leads past a booked visit costs Infinity and is left out. */
const moves = (sight: Sight, d: number, m: number, booked: Booked | null): readonly Move[] =>
  [...ends(sight, d, m, booked), ...jobMoves(sight, d, m), ...bundleMoves(sight, d, m)].filter(
    ({ cost }) => cost < Infinity,
  );

/** The move itself, then the cheapest move at every later point; none if that comes to letting time pass for nothing. */
const follow = (sight: Sight, first: Move, booked: Booked | null): readonly Option[] => {
  const steps: Step[] = [];
  let move = first;
  while (move.next !== null) {
    if (move.step !== null) steps.push(move.step);
    const [d, m] = move.next;
    move = moves(sight, d, m, booked).reduce((a, b) => (b.cost < a.cost ? b : a));
  }
  const cancel = booked === null ? 0 : booked.cancelFee * at(sight.work.left, 0);
  if (move.end === null) throw new Error('a plan ends without an outcome');
  if (first.next !== null && steps.length === 0) return [];
  return [{ cost: first.cost + cancel, steps, end: move.end, bookedFirst: booked !== null }];
};
