import { bench, type Bench } from './bench.ts';
import { at } from './compiled.ts';
import type { Case, Fact, Model, Reading, Situation } from './model.ts';
import { nextMove } from './next-question.ts';
import { levelOf, RISK } from './safety.ts';

/** A number from 0 to below 1; seeded by the caller. */
export type Random = () => number;

export type Breach = { readonly rule: 'not-staff' | 'unsafe' | 'danger-open' | 'dead-end' | 'asked-twice' | 'danger-missed'; readonly what: string };

export type Walk = {
  readonly symptom: string;
  readonly cause: string;
  readonly questions: number;
  readonly jobs: readonly string[];
  readonly end: 'stop' | 'book' | 'other-trade' | 'nothing-wrong' | 'cured';
  readonly readings: readonly Reading[];
  readonly breaches: readonly Breach[];
};

/** How people at the bar answer in a walk: as it is, now and then unsure, or anything at all. */
export type Manner = { readonly unsure: number; readonly anything: number };

const MOST_STEPS = 60;
const STAFF: readonly string[] = ['staff', 'trained'];

const drawn = (random: Random, weights: ArrayLike<number>): number => {
  let left = random() * Array.from(weights).reduce((a, b) => a + b, 0);
  for (let index = 0; index < weights.length; index += 1) {
    left -= at(weights, index);
    if (left < 0) return index;
  }
  return weights.length - 1;
};

/** The true states of one walk, drawn fact by fact and kept. */
const truthOf = (model: Model, cause: string, random: Random): ((fact: string) => number) => {
  const facts = new Map(model.facts.map((fact) => [fact.id, fact]));
  const states = new Map<string, number>();
  const stateOf = (id: string): number => {
    const known = states.get(id);
    if (known !== undefined) return known;
    const fact = facts.get(id);
    if (!fact) throw new RangeError(`no fact ${id} in the model`);
    const state = drawn(random, rowOf(fact, cause, fact.parent === null ? 0 : stateOf(fact.parent)));
    states.set(id, state);
    return state;
  };
  return stateOf;
};

const rowOf = (fact: Fact, cause: string, parentState: number): readonly number[] => at(fact.byCause[cause] ?? fact.usual, parentState);

/** Chance of the causes under which the job is unsafe, counted here once more and not by the engine's own rule. */
const unsafeChance = ({ compiled, chance }: Bench, unsafe: readonly string[]): number =>
  compiled.causes.reduce((sum, { id, parts }, c) => ([id, ...parts].some((cause) => unsafe.includes(cause)) ? sum + at(chance, c) : sum), 0);

const breachesOf = (laid: Bench, model: Model, jobIds: readonly string[]): readonly Breach[] => {
  const fixers = new Map(model.causes.map(({ id, fixer }) => [id, fixer]));
  return jobIds.flatMap((id): readonly Breach[] => {
    const job = model.jobs.find((each) => each.id === id);
    if (!job) return [{ rule: 'dead-end', what: `${id} is no job` }];
    const foreign = Object.keys(job.cures).filter((cause) => !STAFF.includes(fixers.get(cause) ?? ''));
    const risk = unsafeChance(laid, job.unsafeUnder);
    return [
      ...foreign.map((cause) => ({ rule: 'not-staff' as const, what: `${id} for ${cause}` })),
      ...(risk > RISK.unsafe + 1e-9 ? [{ rule: 'unsafe' as const, what: `${id} at ${risk.toFixed(4)}` }] : []),
      ...(job.handsOn && laid.open.length > 0 ? [{ rule: 'danger-open' as const, what: id }] : []),
    ];
  });
};

/** What someone says: the answer drawn for the true state, now and then anything, or that they do not know. */
const answered = (model: Model, id: string, stateOf: (fact: string) => number, random: Random, manner: Manner): Reading => {
  const question = model.questions.find((each) => each.id === id);
  if (!question) throw new RangeError(`no question ${id} in the model`);
  if (random() < Math.max(question.unsure, manner.unsure)) return { kind: 'unsure', question: id };
  const { answers, fact } = question;
  const index = random() < manner.anything ? Math.floor(random() * answers.length) : drawn(random, answers.map(({ given }) => at(given, stateOf(fact))));
  return { kind: 'answer', question: id, answer: at(answers, index).id };
};

/** A danger that somebody told of is heeded at once: caution no lower than it asks for, and from "machine off" on no further question. */
const missed = (laid: Bench, model: Model, readings: readonly Reading[], asksOn: boolean): readonly Breach[] =>
  readings.flatMap((reading): readonly Breach[] => {
    if (reading.kind !== 'answer') return [];
    const answer = model.questions.find(({ id }) => id === reading.question)?.answers.find(({ id }) => id === reading.answer);
    const level = levelOf(answer?.danger ?? 'none');
    return laid.caution.level < level || (level >= 2 && asksOn) ? [{ rule: 'danger-missed', what: `${reading.question}: ${reading.answer}` }] : [];
  });

/**
 * One way through one complaint: a cause is drawn from the weights (or evenly), answers follow from it, each job that
 * is offered is done and cures as often as the catalogue says. The rules are checked at every offer.
 */
export const walk = (model: Model, situation: Situation, symptomId: string, random: Random, manner: Manner, evenly = false): Walk => {
  const symptom = model.symptoms.find(({ id }) => id === symptomId);
  if (!symptom) throw new RangeError(`no symptom ${symptomId} in the model`);
  const single = symptom.causes.filter(({ cause }) => !cause.includes('+') && !model.causes.find(({ id }) => id === cause)?.other);
  const { cause } = at(single, drawn(random, single.map(({ weight }) => (evenly ? 1 : weight))));
  const stateOf = truthOf(model, cause, random);
  const readings: Reading[] = [];
  const breaches: Breach[] = [];
  const jobs: string[] = [];
  const ended = (end: Walk['end']): Walk => ({ symptom: symptomId, cause, questions: readings.filter(({ kind }) => kind !== 'tried').length, jobs, end, readings, breaches });
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const aCase: Case = { symptom: symptomId, readings: [...readings], records: [] };
    const laid = bench(model, situation, aCase);
    const move = nextMove(laid);
    breaches.push(...missed(laid, model, readings, move.kind === 'ask'));
    if (move.kind === 'ask') {
      if (readings.some((reading) => 'question' in reading && reading.question === move.question)) return { ...ended('book'), breaches: [...breaches, { rule: 'asked-twice', what: move.question }] };
      readings.push(answered(model, move.question, stateOf, random, manner));
      continue;
    }
    const [best] = move.options;
    if (!best) return { ...ended('book'), breaches: [...breaches, { rule: 'dead-end', what: 'no way to end is offered' }] };
    for (const option of move.options) breaches.push(...breachesOf(laid, model, option.steps[0]?.jobs ?? []));
    if (laid.caution.level >= 2) return ended('stop');
    const job = best.steps[0]?.jobs[0];
    if (job === undefined) return ended(best.end.kind);
    jobs.push(job);
    const cures = model.jobs.find(({ id }) => id === job)?.cures[cause] ?? 0;
    if (random() < cures) return ended('cured');
    readings.push({ kind: 'tried', job, result: 'same' });
  }
  return { ...ended('book'), breaches: [...breaches, { rule: 'dead-end', what: `no end after ${MOST_STEPS} steps` }] };
};

export type WalkReport = { readonly walks: number; readonly breaches: readonly Breach[]; readonly medianQuestions: number; readonly mostQuestions: number; readonly longest: Walk | null; readonly ends: Readonly<Record<string, number>>; readonly neverStaff: number };

export const reportOf = (walks: readonly Walk[]): WalkReport => {
  const counts = walks.map(({ questions }) => questions).toSorted((a, b) => a - b);
  const most = counts.at(-1) ?? 0;
  const ends: Record<string, number> = {};
  for (const { end } of walks) ends[end] = (ends[end] ?? 0) + 1;
  return {
    walks: walks.length,
    breaches: walks.flatMap(({ breaches }) => breaches),
    medianQuestions: counts[Math.floor(counts.length / 2)] ?? 0,
    mostQuestions: most,
    longest: walks.find(({ questions }) => questions === most) ?? null,
    ends,
    neverStaff: walks.filter(({ jobs }) => jobs.length === 0).length,
  };
};

/** Small seeded generator (mulberry32): enough to draw answers, and the same on every machine. */
export const seeded = (seed: number): Random => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    const a = Math.imul(state ^ (state >>> 15), 1 | state);
    const b = (a + Math.imul(a ^ (a >>> 7), 61 | a)) ^ a;
    return ((b ^ (b >>> 14)) >>> 0) / 4_294_967_296;
  };
};

const OPEN_DAY: Situation = {
  groups: 2,
  capacity: 45,
  trade: [{ startsIn: 0, minutes: 480, coffeesAnHour: 30 }, { startsIn: 1320, minutes: 600, coffeesAnHour: 25 }],
  machine: 'hot',
  coldSlots: [{ startsIn: 1200, minutes: 75 }],
  technicianIn: 1440,
  otherTradeIn: 480,
  outOfHours: false,
  money: {},
  trained: true,
  barredJobs: [],
};
const CLOSED_DAY: Situation = { ...OPEN_DAY, trade: [{ startsIn: 900, minutes: 600, coffeesAnHour: 25 }], machine: 'cold', coldSlots: [{ startsIn: 0, minutes: 600 }] };

/** Every fourth walk answers "don't know" often, every fifth answers at random half the time, every sixth is on a cold machine. */
export const planWalks = (models: readonly Model[], walks: number, seed: number): readonly Walk[] => {
  const random = seeded(seed);
  return Array.from({ length: walks }, (_, index) => {
    const model = at(models, index % models.length);
    const symptom = at(model.symptoms, Math.floor(random() * model.symptoms.length));
    const manner: Manner = { unsure: index % 4 === 0 ? 0.3 : 0, anything: index % 5 === 0 ? 0.5 : 0 };
    const situation = { ...(index % 6 === 0 ? CLOSED_DAY : OPEN_DAY), groups: index % 3 === 0 ? 1 : 2, trained: index % 7 !== 0 };
    return walk(model, situation, symptom.id, random, manner, index % 2 === 0);
  });
};
