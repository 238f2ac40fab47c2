import type { Compiled, CompiledJob } from './compiled.ts';
import { at } from './compiled.ts';
import type { Cause, Money, Situation } from './model.ts';
import type { Booked, Level, Outcome, OutcomeKind, PlanJob, Programme, Wait } from './programme.ts';
import { MOST_JOBS } from './programme.ts';
import { lossBetween, reckonedMoney, waitingCost } from './waiting.ts';

/** Minutes until someone notices that "nothing wrong" was wrong and calls (assumed: a day). */
export const NOTICED_AFTER = 1440;

/**
 * Call fees that a wrong "nothing wrong" costs beside the call that follows (assumed). Below about one, putting off a
 * call that waits for free would look like a finding; at one, all is well only where that is likelier than not.
 */
export const WRONG_ALL_CLEAR = 1;

/** Two cool-downs are the most a plan reckons with: after that a café calls. */
const MOST_SLOTS = 2;

type Clock = (from: number, to: number, cause: Cause, level: Level) => number;

const clock =
  (situation: Situation): Clock =>
  (from, to, cause, level) =>
    waitingCost(cause, lossBetween(situation, from, to), level);

const callFee = (money: Required<Money>, situation: Situation): number =>
  money.callFee + (situation.outOfHours ? money.outOfHoursExtra : 0);

/** Cost of ending in one way at a moment: the fees until the right person has been, and the waiting until then. */
const endCost = (kind: OutcomeKind, cause: Cause, from: number, level: Level, situation: Situation): number => {
  const money = reckonedMoney(situation.money);
  const wait = clock(situation);
  const call = callFee(money, situation);
  const other = money.otherTradeFee;
  const { technicianIn, otherTradeIn } = situation;
  const both = from + technicianIn + otherTradeIn;
  const nothing = cause.fixer === 'nobody';
  const elsewhere = cause.fixer === 'other-trade';
  switch (kind) {
    case 'book':
      if (elsewhere) return call + other + wait(from, both, cause, level);
      return call + wait(from, from + technicianIn, cause, level);
    case 'other-trade':
      if (elsewhere || nothing) return other + wait(from, from + otherTradeIn, cause, level);
      return call + other + wait(from, both, cause, level);
    case 'nothing-wrong': {
      if (nothing) return 0;
      const later = from + NOTICED_AFTER;
      const before = WRONG_ALL_CLEAR * call + wait(from, later, cause, level);
      return before + endCost('book', cause, later, level, situation);
    }
  }
};

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

const outcomesFor = (causes: readonly Cause[], situation: Situation, { layers }: Moments): readonly Outcome[] =>
  kindsFor(causes).flatMap((kind) =>
    levelsFor(kind).map((level) => ({
      kind,
      level,
      costs: layers.map((from) => Float64Array.from(causes, (cause) => endCost(kind, cause, from, level, situation))),
    })),
  );

const waitsFor = (causes: readonly Cause[], situation: Situation, { slots, layers }: Moments): readonly Wait[] =>
  ([0, 1] as const).map((level) => ({
    level,
    costs: slots.map(({ startsIn }, d) =>
      Float64Array.from(causes, (cause) => clock(situation)(at(layers, d), startsIn, cause, level)),
    ),
  }));

/** The visit comes when it would have come without any try; each layer costs only what waiting is left by then. */
const bookedFor = (causes: readonly Cause[], situation: Situation, { layers }: Moments): readonly Booked[] => {
  const money = reckonedMoney(situation.money);
  const fee = callFee(money, situation) - money.cancelFee;
  const { technicianIn, otherTradeIn } = situation;
  const cost = (cause: Cause, from: number, level: Level): number => {
    const elsewhere = cause.fixer === 'other-trade';
    const until = elsewhere ? technicianIn + otherTradeIn : technicianIn;
    return fee + (elsewhere ? money.otherTradeFee : 0) + clock(situation)(from, until, cause, level);
  };
  return ([0, 1] as const).map((level) => ({
    level,
    cancelFee: money.cancelFee,
    costs: layers.map((from) =>
      from > technicianIn ? null : Float64Array.from(causes, (cause) => cost(cause, from, level)),
    ),
  }));
};

const jobCost = ({ job }: CompiledJob, situation: Situation): number => {
  const money = reckonedMoney(situation.money);
  const loss = lossBetween(situation, 0, job.machine === 'cold' ? 0 : job.down.minutes);
  const down = job.down.reach === 'group' ? loss.group : loss.all;
  return (job.minutes / 60) * money.staffAnHour + job.parts + down;
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
  situation: Situation,
): readonly CompiledJob[] => {
  if (jobs.length <= MOST_JOBS) return jobs;
  const worth = ({ cures }: CompiledJob): number =>
    mass.reduce((sum, m, c) => {
      const parts = at(compiled.pairs, c);
      return sum + m * (parts === null ? at(cures, c) : Math.max(at(cures, parts[0]), at(cures, parts[1])) / 2);
    }, 0);
  const ranked = jobs.map((job) => ({ job, ratio: worth(job) / (jobCost(job, situation) + 1e-9) }));
  ranked.sort((a, b) => b.ratio - a.ratio);
  const kept = new Set(ranked.slice(0, MOST_JOBS).map(({ job }) => job));
  return jobs.filter((job) => kept.has(job));
};

/** Chance that a cause is still there after a set of jobs: a pair as long as one of its parts is. */
export const leftBy =
  (compiled: Compiled, jobs: readonly CompiledJob[]) =>
  (cause: number, set: number): number => {
    const survive = (single: number): number =>
      jobs.reduce((left, { cures }, j) => ((set >> j) & 1 ? left * (1 - at(cures, single)) : left), 1);
    const parts = at(compiled.pairs, cause);
    return parts === null ? survive(cause) : 1 - (1 - survive(parts[0])) * (1 - survive(parts[1]));
  };

export type CaseProgramme = { readonly programme: Programme; readonly jobs: readonly CompiledJob[] };

/** The programme of one case: its jobs, ways to end and waiting, in the café's money (or the assumed one). */
export const programmeFor = (
  compiled: Compiled,
  situation: Situation,
  mass: Float64Array,
  tried: ReadonlySet<string>,
): CaseProgramme => {
  const jobs = mostUseful(compiled, possibleJobs(compiled, situation, tried), mass, situation);
  const moments = momentsOf(situation);
  const { causes } = compiled;
  const planJobs = jobs.map((entry): PlanJob => ({
    id: entry.job.id,
    cost: jobCost(entry, situation),
    minutes: entry.job.minutes,
    state: entry.job.machine,
  }));
  const programme: Programme = {
    causes: causes.length,
    jobs: planJobs,
    left: leftBy(compiled, jobs),
    slots: moments.slots.map(({ minutes }) => minutes),
    hotFrom: situation.machine === 'cold' && moments.slots[0]?.startsIn === 0 ? 1 : 0,
    outcomes: outcomesFor(causes, situation, moments),
    waits: waitsFor(causes, situation, moments),
    booked: bookedFor(causes, situation, moments),
  };
  return { programme, jobs };
};

/** Chance that the jobs of one step, done together, end what is wrong; the mass sums to 1. */
export const stepCures = (compiled: Compiled, jobs: readonly CompiledJob[], mass: Float64Array): number => {
  const left = leftBy(compiled, jobs);
  return mass.reduce((sum, m, c) => sum + m * (1 - left(c, (1 << jobs.length) - 1)), 0);
};

