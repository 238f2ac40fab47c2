import { at } from './compiled.ts';
import type { Found, Option, Solved, Step } from './moves.ts';
import { foundAll, foundBest, stepOptions } from './moves.ts';
import type { Booked, Level, Narrowed, Outcome, Programme, Wait } from './programme.ts';
import { MEANWHILE, narrow, termsOf, weighed } from './programme.ts';
import type { Choices, Rivals, Task } from './sweep.ts';
import { choicesAt, emptyTables, fillEnds, fillWaits, inPlay, rivalsOf, sweep } from './sweep.ts';

export type Plan = { readonly best: Option; /** Cheapest first. */ readonly options: readonly Option[] };

/** What the rules allow: the least level of caution, and the set of jobs that may be offered (bit j for job j). */
export type Limits = { readonly level: Level; readonly jobs: number };

/** What costs are asked for: the limits, and the cool-downs used already. */
export type Stand = Limits & { readonly layer: number };

/** Masses over causes need not sum to 1; costs scale with them. What was spent and waited before is never in a cost. */
export type Solver = {
  readonly programme: Programme;
  /** Least expected cost over all plans. */
  readonly value: (mass: Float64Array, stand: Stand) => number;
  /** Least cost over the plans remembered and those `value` found best for some mass: quick, and never below `value`. */
  readonly estimate: (mass: Float64Array, stand: Stand) => number;
  /** Every way to begin, also those that cannot pay, with the best of what follows; all are remembered for estimates. */
  readonly plan: (mass: Float64Array, limits: Limits) => Plan;
  /** What a first step costs until it is seen whether it helped. */
  readonly stepCost: (mass: Float64Array, limits: Limits, step: Step) => number;
};

/** More than any plan can spend on a cause: the dearest end and wait, and every job once. */
const worstCosts = ({ causes, jobs }: Programme, { outcomes, waits, booked }: Choices): Float64Array => {
  const work = jobs.reduce((sum, job) => sum + job.cost, 0);
  const ends = [...outcomes, ...booked].flatMap(({ costs }) => costs);
  const fee = Math.max(0, ...booked.map(({ cancelFee }) => cancelFee));
  return Float64Array.from({ length: causes }, (_, c) => {
    const end = ends.reduce((most, cost) => Math.max(most, cost?.[c] ?? 0), 0);
    const wait = waits.reduce((sum, { costs }) => sum + costs.reduce((all, cost) => all + at(cost, c), 0), 0);
    return end + wait + work + fee;
  });
};

const equal = (a: Float64Array, b: Float64Array): boolean => {
  if (a === b) return true;
  for (let i = 0; i < a.length; i += 1) if (a[i]! !== b[i]!) return false;
  return true;
};

/** What one level of caution leaves to choose from, laid out for speed. */
type ByLevel = {
  readonly choices: Choices;
  readonly outcomes: Rivals<Outcome>;
  readonly waits: Rivals<Wait>;
  readonly booked: Rivals<Booked>;
  /** For each job, what it can save of each cause at most: in any plan, and in one that can only end in a call. */
  readonly gains: readonly Float64Array[];
  readonly gainsByCall: readonly Float64Array[];
};

const cheapestOf = (all: readonly { readonly costs: readonly Float64Array[] }[], mass: Float64Array, layer: number): number =>
  all.reduce((least, { costs }) => Math.min(least, weighed(mass, at(costs, layer))), Infinity);

/** Solves one programme as often as wanted. It keeps room to work in and the plans it has found, nothing else. */
export const solver = (programme: Programme): Solver => {
  const { jobs, slots, hotFrom, causes } = programme;
  const terms = termsOf(programme);
  const layers = slots.length + 1;
  const tables = emptyTables(layers, 1 << jobs.length);
  const everything = (1 << jobs.length) - 1;
  const leftAtEnd = Float64Array.from({ length: causes }, (_, c) => at(programme.left, (c << jobs.length) | everything));
  const narrowings = new Map<number, Narrowed>();
  const levels = new Map<Level, ByLevel>();
  const found = new Map<string, Found[]>();

  const narrowed = (active: number): Narrowed => {
    const by = narrowings.get(active) ?? narrow(jobs, active);
    narrowings.set(active, by);
    return by;
  };

  const at_level = (level: Level): ByLevel => {
    const known = levels.get(level);
    if (known !== undefined) return known;
    const choices = choicesAt(programme, level);
    const calls = { ...choices, outcomes: choices.outcomes.filter(({ kind }) => kind === 'book') };
    const gains = (of: Choices): readonly Float64Array[] => {
      const worst = worstCosts(programme, of);
      return terms.most.map((most) => most.map((gain, c) => gain * at(worst, c)));
    };
    const fresh: ByLevel = {
      choices,
      outcomes: rivalsOf(choices.outcomes, leftAtEnd),
      waits: rivalsOf(choices.waits, leftAtEnd),
      booked: rivalsOf(choices.booked, leftAtEnd),
      gains: gains(choices),
      gainsByCall: gains(calls),
    };
    levels.set(level, fresh);
    return fresh;
  };

  /** Drops jobs that cannot pay for themselves at any point of any plan. */
  const worthwhile = (mass: Float64Array, allowed: number, gains: readonly Float64Array[]): number => {
    if (allowed === 0) return 0;
    const least = weighed(mass, leftAtEnd);
    let active = 0;
    for (let j = 0; j < jobs.length; j += 1) {
      if ((allowed >> j) & 1 && weighed(mass, gains[j]!) > jobs[j]!.cost * least) active |= 1 << j;
    }
    return active;
  };

  const taskFor = (mass: Float64Array, { level, jobs: allowed, layer }: Stand): Task => {
    const { outcomes, waits, booked, gains, gainsByCall } = at_level(level);
    const ends = inPlay(outcomes, mass, layer);
    const byCall = ends.every(({ kind }) => kind === 'book');
    const by = narrowed(worthwhile(mass, allowed, byCall ? gainsByCall : gains));
    const choices: Choices = { outcomes: ends, waits: inPlay(waits, mass, layer), booked: inPlay(booked, mass, layer) };
    const to = by.cold !== 0 || (hotFrom > layer && by.hot !== 0) ? layers : layer + 1;
    return { by, mass, choices, from: layer, to };
  };

  /** Solves without and with a visit booked first: that is worth a look only if time can pass before the visit. */
  const eachSolved = (task: Task, level: Level, see: (solved: Solved) => void): void => {
    fillWaits(tables, terms, task);
    const solve = (ends: readonly (Outcome | Booked)[], booked: Booked | null): void => {
      fillEnds(tables, terms, task, ends);
      sweep(programme, tables, task);
      see({ programme, tables, task, level: MEANWHILE[level], ends, booked });
    };
    solve(task.choices.outcomes, null);
    if (task.from > 0 || task.to === 1) return;
    for (const booked of task.choices.booked) {
      if (booked.costs.some((cost, d) => d > 0 && cost !== null)) solve([booked], booked);
    }
  };

  /** Plans found at one level and layer: one that does without a job is a plan where that job is not allowed, too. */
  const foundAt = ({ level, layer }: Stand): Found[] => {
    const key = `${level} ${layer}`;
    const known = found.get(key) ?? [];
    found.set(key, known);
    return known;
  };

  const keep = (stand: Stand, plan: Found): void => {
    const known = foundAt(stand);
    if (!known.some(({ costs }) => equal(costs, plan.costs))) known.push(plan);
  };

  const endAtOnce = (mass: Float64Array, stand: Stand, ends: readonly Outcome[]): number => {
    let [least, best] = [Infinity, ends[0]!.costs[stand.layer]!];
    for (const { costs: all } of ends) {
      const costs = all[stand.layer]!;
      const cost = weighed(mass, costs);
      if (cost < least) [least, best] = [cost, costs];
    }
    keep(stand, { jobs: 0, costs: best });
    return least;
  };

  const value = (mass: Float64Array, stand: Stand): number => {
    const task = taskFor(mass, stand);
    if (task.by.active === 0) return endAtOnce(mass, stand, task.choices.outcomes);
    let least = Infinity;
    let best: Found | null = null;
    eachSolved(task, stand.level, (solved) => {
      const cancel = solved.booked === null ? 0 : solved.booked.cancelFee * tables.left[0]!;
      const cost = tables.best[stand.layer]![0]! + cancel;
      if (!(cost < least)) return;
      least = cost;
      best = foundBest(solved);
    });
    if (best !== null) keep(stand, best);
    return least;
  };

  const estimate = (mass: Float64Array, stand: Stand): number => {
    let least = Infinity;
    for (const { jobs: used, costs } of foundAt(stand)) {
      if ((used & ~stand.jobs) !== 0) continue;
      const cost = weighed(mass, costs);
      if (cost < least) least = cost;
    }
    return least < Infinity ? least : value(mass, stand);
  };

  const plan = (mass: Float64Array, limits: Limits): Plan => {
    const options: Option[] = [];
    const stand: Stand = { ...limits, layer: 0 };
    const by = narrowed(limits.jobs & everything);
    const to = by.cold !== 0 || (hotFrom === 1 && by.hot !== 0) ? layers : 1;
    const { choices } = at_level(limits.level);
    for (const { kind, level, costs } of choices.outcomes) {
      const end = { kind, meanwhile: MEANWHILE[level] };
      options.push({ cost: weighed(mass, at(costs, 0)), steps: [], end, bookedFirst: false });
    }
    eachSolved({ by, mass, choices, from: 0, to }, limits.level, (solved) => {
      options.push(...stepOptions(solved));
      for (const plan of foundAll(solved)) keep(stand, plan);
    });
    options.sort((a, b) => a.cost - b.cost);
    return { best: at(options, 0), options };
  };

  const stepCost = (mass: Float64Array, { level }: Limits, { jobs: ids, slot }: Step): number => {
    const spent = jobs.reduce((sum, { id, cost }) => (ids.includes(id) ? sum + cost : sum), 0);
    const done = spent * mass.reduce((a, b) => a + b, 0);
    return slot === null ? done : done + cheapestOf(at_level(level).choices.waits, mass, slot);
  };

  return { programme, value, estimate, plan, stepCost };
};
