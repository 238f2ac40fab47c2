import type { Compiled, CompiledJob } from './compiled.ts';
import { at } from './compiled.ts';
import type { Cause, Situation } from './model.ts';
import type { Booked, Level, Outcome, OutcomeKind, PlanJob, Programme, Wait } from './programme.ts';
import { MOST_JOBS } from './programme.ts';
import type { Rates } from './rates.ts';
import { endCost, jobCost, ratesOf } from './rates.ts';

/** Two cool-downs are the most a plan reckons with: after that a café calls. */
const MOST_SLOTS = 2;

const kindsFor = (causes: readonly Cause[]): readonly OutcomeKind[] => [
  'book',
  ...(causes.some(({ fixer }) => fixer === 'other-trade') ? (['other-trade'] as const) : []),
  ...(causes.some(({ fixer }) => fixer === 'nobody') ? (['nothing-wrong'] as const) : []),
];

const levelsFor = (kind: OutcomeKind): readonly Level[] => (kind === 'nothing-wrong' ? [0] : [0, 1, 2, 3]);

type Moments = { readonly slots: Situation['coldSlots']; readonly layers: readonly number[] };

/** Moments at which each layer begins: now, then the end of each cold slot. */
const momentsOf = (situation: Situation): Moments => {
  const slots = situation.coldSlots.slice(0, MOST_SLOTS);
  return { slots, layers: [0, ...slots.map(({ startsIn, minutes }) => startsIn + minutes)] };
};

const outcomesFor = (causes: readonly Cause[], rates: Rates, { layers }: Moments): readonly Outcome[] =>
  kindsFor(causes).flatMap((kind) =>
    levelsFor(kind).map((level) => ({
      kind,
      level,
      costs: layers.map((from) => Float64Array.from(causes, (cause) => endCost(kind, cause, from, level, rates))),
    })),
  );

const waitsFor = (causes: readonly Cause[], { wait }: Rates, { slots, layers }: Moments): readonly Wait[] =>
  ([0, 1] as const).map((level) => ({
    level,
    costs: slots.map(({ startsIn }, d) =>
      Float64Array.from(causes, (cause) => wait(at(layers, d), startsIn, cause, level)),
    ),
  }));

/** The visit comes when it would have come without any try; each layer costs only what waiting is left by then. */
const bookedFor = (causes: readonly Cause[], rates: Rates, { layers }: Moments): readonly Booked[] => {
  const { money, wait } = rates;
  const fee = rates.call - money.cancelFee;
  const { technicianIn, otherTradeIn } = rates.situation;
  const cost = (cause: Cause, from: number, level: Level): number => {
    const elsewhere = cause.fixer === 'other-trade';
    const until = elsewhere ? technicianIn + otherTradeIn : technicianIn;
    return fee + (elsewhere ? money.otherTradeFee : 0) + wait(from, until, cause, level);
  };
  return ([0, 1] as const).map((level) => ({
    level,
    cancelFee: money.cancelFee,
    costs: layers.map((from) =>
      from > technicianIn ? null : Float64Array.from(causes, (cause) => cost(cause, from, level)),
    ),
  }));
};

/** Jobs the café can do at all: not barred, not tried, and with someone there who may. */
export const possibleJobs = (
  compiled: Compiled,
  situation: Situation,
  tried: ReadonlySet<string>,
): readonly CompiledJob[] =>
  compiled.jobs.filter(
    ({ job }) =>
      !situation.barredJobs.includes(job.id) && !tried.has(job.id) && (situation.trained || !job.training),
  );

/** Of many jobs the eight with the most chance for their cost; their order in the model is kept. */
const mostUseful = (
  compiled: Compiled,
  jobs: readonly CompiledJob[],
  mass: Float64Array,
  rates: Rates,
): readonly CompiledJob[] => {
  if (jobs.length <= MOST_JOBS) return jobs;
  const worth = ({ cures }: CompiledJob): number =>
    mass.reduce((sum, m, c) => {
      const parts = at(compiled.pairs, c);
      return sum + m * (parts === null ? at(cures, c) : Math.max(at(cures, parts[0]), at(cures, parts[1])) / 2);
    }, 0);
  const ranked = jobs.map((job) => ({ job, ratio: worth(job) / (jobCost(job, rates) + 1e-9) }));
  ranked.sort((a, b) => b.ratio - a.ratio);
  const kept = new Set(ranked.slice(0, MOST_JOBS).map(({ job }) => job));
  return jobs.filter((job) => kept.has(job));
};

/**
 * Chance that a cause is still there after each set of jobs, laid out as `Programme.left`: single causes lose each job's
 * share in turn, a pair is there as long as one of its parts is.
 */
export const leftAfterJobs = ({ pairs, causes }: Compiled, jobs: readonly CompiledJob[]): Float64Array => {
  const size = 1 << jobs.length;
  const left = new Float64Array(causes.length * size).fill(1);
  const single = (c: number): void =>
    jobs.forEach(({ cures }, j) => {
      for (let set = 0; set < 1 << j; set += 1) left[c * size + (set | (1 << j))] = left[c * size + set]! * (1 - cures[c]!);
    });
  const both = (c: number, a: number, b: number): void => {
    for (let set = 0; set < size; set += 1) {
      left[c * size + set] = 1 - (1 - left[a * size + set]!) * (1 - left[b * size + set]!);
    }
  };
  pairs.forEach((pair, c) => (pair === null ? single(c) : undefined));
  pairs.forEach((pair, c) => (pair === null ? undefined : both(c, pair[0], pair[1])));
  return left;
};

export type CaseProgramme = { readonly programme: Programme; readonly jobs: readonly CompiledJob[] };

/** The programme of one case: its jobs, ways to end and waiting, in the café's money (or the assumed one). */
export const programmeFor = (
  compiled: Compiled,
  situation: Situation,
  mass: Float64Array,
  tried: ReadonlySet<string>,
): CaseProgramme => {
  const rates = ratesOf(situation);
  const jobs = mostUseful(compiled, possibleJobs(compiled, situation, tried), mass, rates);
  const moments = momentsOf(situation);
  const { causes } = compiled;
  const planJobs = jobs.map((entry): PlanJob => ({
    id: entry.job.id,
    cost: jobCost(entry, rates),
    minutes: entry.job.minutes,
    state: entry.job.machine,
  }));
  const programme: Programme = {
    causes: causes.length,
    jobs: planJobs,
    left: leftAfterJobs(compiled, jobs),
    slots: moments.slots.map(({ minutes }) => minutes),
    hotFrom: situation.machine === 'cold' && moments.slots[0]?.startsIn === 0 ? 1 : 0,
    outcomes: outcomesFor(causes, rates, moments),
    waits: waitsFor(causes, rates, moments),
    booked: bookedFor(causes, rates, moments),
  };
  return { programme, jobs };
};

/** Chance that the jobs of one step, done together, end what is wrong; the mass sums to 1. */
export const stepCures = (compiled: Compiled, jobs: readonly CompiledJob[], mass: Float64Array): number => {
  const left = leftAfterJobs(compiled, jobs);
  return mass.reduce((sum, m, c) => sum + m * (1 - at(left, ((c + 1) << jobs.length) - 1)), 0);
};

