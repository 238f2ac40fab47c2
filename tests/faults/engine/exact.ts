/**
 * The exact programme by plain enumeration: questions, jobs and ways to end in any order, over worlds (a cause with a
 * state for every fact). Written apart from the engine, from the meaning of the model alone; slow and only for small
 * problems. The same recursion also tells what a given policy costs.
 */
import type { Cause, Fact, Job, Model, Reading, Situation } from '../../../src/faults/model.ts';
import { NOTICED_AFTER, WRONG_ALL_CLEAR } from '../../../src/faults/rates.ts';
import { ONE_GONE_SEEMS_BETTER, SEEMS_BETTER } from '../../../src/faults/tries.ts';

type Outcome = 'book' | 'other-trade' | 'nothing-wrong';

type World = { readonly cause: number; readonly states: readonly number[]; readonly fresh: number };

type Rows = readonly (readonly number[])[];

const joined = (a: Rows, b: Rows, idle: number | null): Rows =>
  a.map((row, p) => {
    const other = b[p]!;
    if (idle === null) return row.map((x, s) => 0.5 * x + 0.5 * other[s]!);
    const acting = row.map((x, s) => (s === idle ? 0 : x + other[s]!)).reduce((x, y) => x + y, 0);
    const quiet = row[idle]! * other[idle]!;
    return row.map((x, s) => (s === idle ? quiet : ((1 - quiet) * (x + other[s]!)) / acting));
  });

const rowsFor = (of: Fact, cause: Cause): Rows => {
  const own = of.byCause[cause.id];
  if (own !== undefined) return own;
  if (cause.other) return of.usual.map((row) => row.map(() => 1 / row.length));
  if (cause.parts.length === 0) return of.usual;
  const [a, b] = cause.parts.map((part) => of.byCause[part] ?? of.usual);
  return joined(a!, b!, of.idle);
};

/** All combinations of fact states under a cause, with their chance. */
const worldsOf = (model: Model, cause: number): readonly World[] => {
  let worlds: World[] = [{ cause, states: [], fresh: 1 }];
  for (const of of model.facts) {
    const parent = model.facts.findIndex(({ id }) => id === of.parent);
    const rows = rowsFor(of, model.causes[cause]!);
    worlds = worlds.flatMap((world) => {
      const row = rows[parent < 0 ? 0 : world.states[parent]!]!;
      return row.map((chance, s) => ({ ...world, states: [...world.states, s], fresh: world.fresh * chance }));
    });
  }
  return worlds;
};

export type Point = {
  /** Weight of each world; they sum to the chance of being here. */
  readonly weight: Float64Array;
  readonly readings: readonly Reading[];
  readonly layer: number;
};

export type Act =
  | { readonly kind: 'end'; readonly outcome: Outcome }
  | { readonly kind: 'ask'; readonly question: string }
  | { readonly kind: 'do'; readonly jobs: readonly string[]; readonly bundle: boolean };

export type Exact = {
  readonly start: Point;
  /** Least expected cost of all; `asking` false leaves the questions out. */
  readonly optimum: (asking: boolean) => number;
  readonly costOf: (policy: (point: Point, situation: Situation) => Act) => number;
  readonly causeChances: (point: Point) => Float64Array;
  /** Where some readings lead; no cool-downs. */
  readonly at: (readings: readonly Reading[]) => Point;
  /** What the optimum does first at a point, with its cost. */
  readonly best: (point: Point) => { readonly act: Act; readonly cost: number };
};

const sum = (values: Float64Array): number => {
  let total = 0;
  for (let i = 0; i < values.length; i += 1) total += values[i]!;
  return total;
};

const lost = (situation: Situation, from: number, to: number): number =>
  situation.trade.reduce((total, { startsIn, minutes, coffeesAnHour }) => {
    const both = Math.min(to, startsIn + minutes) - Math.max(from, startsIn);
    const over = coffeesAnHour - (situation.groups - 1) * situation.capacity;
    return both > 0 && over > 0 ? total + (both / 60) * over : total;
  }, 0);

const shifted = (situation: Situation, by: number): Situation => ({
  ...situation,
  trade: situation.trade.map((hour) => ({ ...hour, startsIn: hour.startsIn - by })),
  coldSlots: situation.coldSlots.filter(({ startsIn }) => startsIn >= by).map((slot) => ({ ...slot, startsIn: slot.startsIn - by })),
});

/** For causes of one group that nothing but trade, fees, parts and asking costs make dear (no staff rate, no waste). */
export const exact = (model: Model, situation: Situation): Exact => {
  const { causes } = model;
  const hasPairs = causes.some(({ parts }) => parts.length > 0);
  const worlds = causes.flatMap((_, c) => worldsOf(model, c));
  const money = situation.money;
  const [call, other, margin] = [money.callFee!, money.otherTradeFee!, money.margin!];
  const listed = model.symptoms[0]!.causes;
  const all = listed.reduce((total, { weight }) => total + weight, 0);
  const times = [0, ...situation.coldSlots.map(({ startsIn, minutes }) => startsIn + minutes)];
  const prior = causes.map(({ id }) => (listed.find((entry) => entry.cause === id)?.weight ?? 0) / all);
  const start: Point = { weight: Float64Array.from(worlds, (world) => prior[world.cause]! * world.fresh), readings: [], layer: 0 };
  const factAt = (id: string): number => model.facts.findIndex((of) => of.id === id);

  const wait = (cause: Cause, from: number, to: number): number => cause.severity * margin * lost(situation, from, to);

  const ending = (outcome: Outcome, cause: Cause, now: number): number => {
    const { technicianIn: t, otherTradeIn: o } = situation;
    const elsewhere = cause.fixer === 'other-trade';
    const nothing = cause.fixer === 'nobody';
    if (outcome === 'book') return elsewhere ? call + other + wait(cause, now, now + t + o) : call + wait(cause, now, now + t);
    if (outcome === 'other-trade') {
      return elsewhere || nothing ? other + wait(cause, now, now + o) : call + other + wait(cause, now, now + t + o);
    }
    if (nothing) return 0;
    const fees = (1 + WRONG_ALL_CLEAR) * call + (elsewhere ? other : 0);
    return fees + wait(cause, now, now + NOTICED_AFTER + t + (elsewhere ? o : 0));
  };

  const outcomes: readonly Outcome[] = [
    'book',
    ...(causes.some(({ fixer }) => fixer === 'other-trade') ? (['other-trade'] as const) : []),
    ...(causes.some(({ fixer }) => fixer === 'nobody') ? (['nothing-wrong'] as const) : []),
  ];

  const endCosts = times.map((now) => {
    const over = (outcome: Outcome): Float64Array =>
      Float64Array.from(worlds, ({ cause }) => ending(outcome, causes[cause]!, now));
    return { book: over('book'), 'other-trade': over('other-trade'), 'nothing-wrong': over('nothing-wrong') };
  });

  const endCost = (point: Point, outcome: Outcome): number => {
    const costs = endCosts[point.layer]![outcome];
    let total = 0;
    for (let i = 0; i < costs.length; i += 1) total += point.weight[i]! * costs[i]!;
    return total;
  };

  const product = (a: Float64Array, b: Float64Array): Float64Array => {
    const out = new Float64Array(a.length);
    for (let i = 0; i < out.length; i += 1) out[i] = a[i]! * b[i]!;
    return out;
  };
  const overWorlds = (of: (world: World) => number): Float64Array => Float64Array.from(worlds, of);

  const replies = new Map(
    model.questions.map(({ id, fact, answers: list, unsure }) => {
      const f = factAt(fact);
      const told = list.map(({ id: reply, given }) => ({
        reading: { kind: 'answer', question: id, answer: reply } as Reading,
        chance: overWorlds(({ states }) => (1 - unsure) * given[states[f]!]!),
      }));
      const silent = { reading: { kind: 'unsure', question: id } as Reading, chance: overWorlds(() => unsure) };
      return [id, unsure === 0 ? told : [...told, silent]];
    }),
  );

  const answers = (point: Point, id: string): readonly Point[] =>
    replies.get(id)!.map(({ reading, chance }) => ({
      ...point,
      weight: product(point.weight, chance),
      readings: [...point.readings, reading],
    }));

  const cure = (job: Job, cause: string): number => job.cures[cause] ?? 0;
  const causeAt = (id: string): number => causes.findIndex((it) => it.id === id);

  /** For each cause: the chance that the job ends nothing of it, and where it goes when it ends one of two. */
  const effects = new Map(
    model.jobs.map((job) => {
      const of = causes.map(({ id, parts: [a, b] }) => {
        if (a === undefined || b === undefined) return { none: 1 - cure(job, id), over: [] };
        const over = [
          { to: causeAt(b), chance: cure(job, a) * (1 - cure(job, b)) },
          { to: causeAt(a), chance: cure(job, b) * (1 - cure(job, a)) },
        ];
        return { none: (1 - cure(job, a)) * (1 - cure(job, b)), over };
      });
      return [job.id, { none: overWorlds(({ cause }) => of[cause]!.none), over: of.map(({ over }) => over) }];
    }),
  );

  /** After one job that did not end it, by what people say of it. */
  const failed = (point: Point, job: Job, result: 'better' | 'same'): Point => {
    const none = result === 'better' ? SEEMS_BETTER : 1 - SEEMS_BETTER;
    const one = result === 'better' ? ONE_GONE_SEEMS_BETTER : 1 - ONE_GONE_SEEMS_BETTER;
    const effect = effects.get(job.id)!;
    const weight = product(point.weight, effect.none);
    const came = new Float64Array(causes.length);
    for (let i = 0; i < weight.length; i += 1) {
      for (const { to, chance } of effect.over[worlds[i]!.cause]!) came[to]! += point.weight[i]! * chance;
    }
    for (let i = 0; i < weight.length; i += 1) {
      weight[i] = weight[i]! * none + came[worlds[i]!.cause]! * one * worlds[i]!.fresh;
    }
    return { ...point, weight, readings: [...point.readings, { kind: 'tried', job: job.id, result }] };
  };

  const afterJob = (point: Point, job: Job): readonly Point[] => {
    if (hasPairs) return [failed(point, job, 'better'), failed(point, job, 'same')];
    const weight = product(point.weight, effects.get(job.id)!.none);
    return [{ ...point, weight, readings: [...point.readings, { kind: 'tried', job: job.id, result: 'same' }] }];
  };

  const done = (point: Point, id: string): boolean =>
    point.readings.some((it) => (it.kind === 'tried' ? it.job === id : it.kind === 'record' ? false : it.question === id));

  const coldSets = (point: Point): readonly (readonly Job[])[] => {
    const slot = situation.coldSlots[point.layer];
    if (slot === undefined) return [];
    const free = model.jobs.filter(({ id, machine }) => machine === 'cold' && !done(point, id));
    const sets = free.reduce<readonly (readonly Job[])[]>((some, job) => [...some, ...some.map((set) => [...set, job])], [[]]);
    return sets.filter((set) => set.length > 0 && set.reduce((t, { minutes }) => t + minutes, 0) <= slot.minutes);
  };

  const waiting = (point: Point): number => {
    const to = situation.coldSlots[point.layer]!.startsIn;
    let total = 0;
    worlds.forEach(({ cause }, i) => (total += point.weight[i]! * wait(causes[cause]!, times[point.layer]!, to)));
    return total;
  };

  type Branch = { readonly cost: number; readonly next: readonly Point[] };

  const take = (point: Point, act: Act): Branch => {
    switch (act.kind) {
      case 'end':
        return { cost: endCost(point, act.outcome), next: [] };
      case 'ask': {
        const asked = model.questions.find(({ id }) => id === act.question)!;
        return { cost: asked.cost * sum(point.weight), next: answers(point, asked.id) };
      }
      case 'do': {
        const jobs = act.jobs.map((id) => model.jobs.find((job) => job.id === id)!);
        const cost = jobs.reduce((total, { parts }) => total + parts, 0) * sum(point.weight);
        if (!act.bundle) return { cost, next: afterJob(point, jobs[0]!) };
        const after = jobs.reduce((so_far, job) => afterJob(so_far, job)[0]!, point);
        return { cost: cost + waiting(point), next: [{ ...after, layer: point.layer + 1 }] };
      }
    }
  };

  const acts = (point: Point, asking: boolean): readonly Act[] => [
    ...outcomes.map((outcome): Act => ({ kind: 'end', outcome })),
    ...(asking ? model.questions.filter(({ id }) => !done(point, id)).map(({ id }): Act => ({ kind: 'ask', question: id })) : []),
    ...model.jobs
      .filter(({ id, machine }) => machine !== 'cold' && !done(point, id))
      .map(({ id }): Act => ({ kind: 'do', jobs: [id], bundle: false })),
    ...coldSets(point).map((set): Act => ({ kind: 'do', jobs: set.map(({ id }) => id), bundle: true })),
  ];

  const text = (it: Reading): string =>
    it.kind === 'answer' ? `${it.question}=${it.answer}` : it.kind === 'tried' ? `${it.job}:${it.result}` : `${it.kind} ${it.kind === 'record' ? it.fact : it.question}`;

  const keyOf = ({ readings, layer }: Point): string => {
    if (!hasPairs) return `${layer} ${readings.map(text).sort().join()}`;
    const epochs: string[][] = [[]];
    for (const it of readings) {
      epochs.at(-1)!.push(text(it));
      if (it.kind === 'tried') epochs.push([]);
    }
    return epochs.map((epoch) => epoch.sort().join()).join('|');
  };

  const price = (point: Point, act: Act, value: (point: Point) => number): number => {
    const { cost, next } = take(point, act);
    return cost + next.reduce((total, after) => total + value(after), 0);
  };

  const solve = (choose: (point: Point) => readonly Act[]): ((point: Point) => number) => {
    const known = new Map<string, number>();
    const value = (point: Point): number => {
      if (sum(point.weight) === 0) return 0;
      const key = keyOf(point);
      const before = known.get(key);
      if (before !== undefined) return before;
      const best = Math.min(...choose(point).map((act) => price(point, act, value)));
      known.set(key, best);
      return best;
    };
    return value;
  };

  const reach = (point: Point, reading: Reading): Point => {
    switch (reading.kind) {
      case 'tried': {
        if (reading.result === 'cured') throw new Error('nothing is left to look at');
        return failed(point, model.jobs.find(({ id }) => id === reading.job)!, reading.result);
      }
      case 'record':
        throw new Error('records are not enumerated');
      default: {
        const all = replies.get(reading.question)!;
        const index = all.findIndex((it) => text(it.reading) === text(reading));
        return answers(point, reading.question)[index]!;
      }
    }
  };

  return {
    start,
    at: (readings) => readings.reduce(reach, start),
    best: (point) => {
      const value = solve((it) => acts(it, true));
      const priced = acts(point, true).map((act) => ({ act, cost: price(point, act, value) }));
      return priced.reduce((a, b) => (b.cost < a.cost ? b : a));
    },
    optimum: (asking) => solve((point) => acts(point, asking))(start),
    costOf: (policy) => solve((point) => [policy(point, shifted(situation, times[point.layer]!))])(start),
    causeChances: (point) => {
      const out = new Float64Array(causes.length);
      worlds.forEach(({ cause }, i) => (out[cause]! += point.weight[i]!));
      const total = sum(out);
      return out.map((x) => x / total);
    },
  };
};
