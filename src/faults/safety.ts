import type { Compiled, CompiledJob } from './compiled.ts';
import { at } from './compiled.ts';
import type { Cause, Danger, Harm, Reading } from './model.ts';
import type { Limits } from './plan.ts';
import type { Level } from './programme.ts';

/**
 * Rules that stand above every cost. Chances are of causes that can hurt people (also by fire or pressure) or break the
 * machine; at `people` and `machine` the matching caution starts, at `unsafe` a job is no longer offered, and above
 * `beforeAsking` nothing is asked first. All assumed: how much risk a café may carry is not a thing to measure.
 */
export const RISK = { people: 0.01, machine: 0.05, unsafe: 0.01, beforeAsking: 0.2 } as const;

const LEVEL: Readonly<Record<Danger, Level>> = { none: 0, 'group-out': 1, 'machine-off': 2, 'leave-room': 3 };

export const levelOf = (danger: Danger): Level => LEVEL[danger];

/** Why caution is asked for. */
export type Because =
  | { readonly kind: 'symptom' }
  | { readonly kind: 'answer'; readonly question: string; readonly answer: string }
  /** Chance of the causes that ask for it. */
  | { readonly kind: 'chance'; readonly causes: readonly string[]; readonly chance: number };

export type Caution = { readonly level: Level; readonly because: readonly Because[] };

const NO_CAUTION: Caution = { level: 0, because: [] };

const higher = (a: Caution, b: Caution): Caution => {
  if (a.level !== b.level) return a.level > b.level ? a : b;
  return a.level === 0 ? NO_CAUTION : { level: a.level, because: [...a.because, ...b.because] };
};

/** What the answers given so far demand. Every danger answer counts, also one that was followed by another. */
export const answeredCaution = (compiled: Compiled, readings: readonly Reading[]): Caution =>
  readings.reduce<Caution>((worst, reading) => {
    if (reading.kind !== 'answer') return worst;
    const { question } = at(compiled.questions, compiled.questionIndex.get(reading.question) ?? -1);
    const answer = question.answers.find(({ id }) => id === reading.answer);
    const level = levelOf(answer?.danger ?? 'none');
    return higher(worst, { level, because: [{ kind: 'answer', question: question.id, answer: reading.answer }] });
  }, NO_CAUTION);

const harmful = (causes: readonly Cause[], mass: Float64Array, level: Level, harms: readonly Harm[]): number => {
  let sum = 0;
  for (let c = 0; c < causes.length; c += 1) {
    const { danger, harm } = causes[c]!;
    if (LEVEL[danger] >= level && harms.includes(harm)) sum += mass[c]!;
  }
  return sum;
};

const PEOPLE: readonly Harm[] = ['people'];
const EITHER: readonly Harm[] = ['people', 'machine'];

/** Highest level whose causes are too likely to go without it; mass need not sum to 1. */
export const chanceLevel = ({ causes }: Compiled, mass: Float64Array): Level => {
  const sum = mass.reduce((a, b) => a + b, 0);
  for (const level of [3, 2, 1] as const) {
    if (harmful(causes, mass, level, PEOPLE) > RISK.people * sum) return level;
    if (harmful(causes, mass, level, EITHER) > RISK.machine * sum) return level;
  }
  return 0;
};

/** Mass of the causes that ask for this level or more, in units of what the rules let pass. */
export const foundDanger = ({ causes }: Compiled, mass: Float64Array, level: Level): number =>
  Math.max(
    harmful(causes, mass, level, PEOPLE) / RISK.people,
    harmful(causes, mass, level, EITHER) / RISK.machine,
  );

/** Chance of the causes that ask for this level or more; mass sums to 1. */
export const dangerChance = ({ causes }: Compiled, mass: Float64Array, level: Level): number =>
  harmful(causes, mass, level, EITHER);

const chanceCaution = (compiled: Compiled, mass: Float64Array): Caution => {
  const level = chanceLevel(compiled, mass);
  if (level === 0) return NO_CAUTION;
  const causes = compiled.causes.filter(({ danger }, c) => levelOf(danger) >= level && at(mass, c) > 0);
  const chance = dangerChance(compiled, mass, level);
  return { level, because: [{ kind: 'chance', causes: causes.map(({ id }) => id), chance }] };
};

const symptomCaution = ({ symptom }: Compiled): Caution => {
  const level = levelOf(symptom.immediate);
  return level === 0 ? NO_CAUTION : { level, because: [{ kind: 'symptom' }] };
};

/** Everything that asks for caution now; mass sums to 1. */
export const caution = (compiled: Compiled, mass: Float64Array, readings: readonly Reading[]): Caution =>
  [symptomCaution(compiled), answeredCaution(compiled, readings), chanceCaution(compiled, mass)].reduce(higher);

/** Danger questions of the symptom that nobody has answered; one answered "don't know" last stays open. */
export const openDangers = (compiled: Compiled, readings: readonly Reading[]): readonly number[] => {
  const settled = new Map<string, boolean>();
  for (const reading of readings) {
    if (reading.kind === 'answer') settled.set(reading.question, true);
    if (reading.kind === 'unsure') settled.set(reading.question, false);
  }
  return compiled.askable.filter((q) => {
    const { question } = at(compiled.questions, q);
    return question.danger && settled.get(question.id) !== true;
  });
};

const unsafeChance = (compiled: Compiled, { job }: CompiledJob, mass: Float64Array): number =>
  compiled.causes.reduce((sum, { id, parts }, c) => {
    const unsafe = [id, ...parts].some((cause) => job.unsafeUnder.includes(cause));
    return unsafe ? sum + at(mass, c) : sum;
  }, 0);

/** Whether a job may be offered: not while a danger stands open, not where it is likely enough to be unsafe. */
export const mayOffer = (compiled: Compiled, entry: CompiledJob, mass: Float64Array, dangerOpen: boolean): boolean =>
  !(dangerOpen && entry.job.handsOn) && unsafeChance(compiled, entry, mass) <= RISK.unsafe;

/** Which causes make which job unsafe, for rules that are asked thousands of times. */
export type UnsafeTable = { readonly causes: readonly (readonly number[])[]; readonly handsOn: readonly boolean[] };

export const unsafeTable = (compiled: Compiled, jobs: readonly CompiledJob[]): UnsafeTable => ({
  causes: jobs.map(({ job }) =>
    [...compiled.causes.keys()].filter((c) => {
      const { id, parts } = at(compiled.causes, c);
      return [id, ...parts].some((cause) => job.unsafeUnder.includes(cause));
    }),
  ),
  handsOn: jobs.map(({ job }) => job.handsOn),
});

/** The limits for a plan; mass need not sum to 1. From "machine off" on, no job is offered at all. */
export const limitsFor = (
  compiled: Compiled,
  table: UnsafeTable,
  mass: Float64Array,
  least: Level,
  dangerOpen: boolean,
): Limits => {
  const level = Math.max(least, chanceLevel(compiled, mass)) as Level;
  if (level >= 2) return { level, jobs: 0 };
  const most = RISK.unsafe * mass.reduce((a, b) => a + b, 0);
  const jobs = table.causes.reduce((set, unsafe, j) => {
    if (dangerOpen && table.handsOn[j] === true) return set;
    let sum = 0;
    for (const c of unsafe) sum += mass[c]!;
    return sum <= most ? set | (1 << j) : set;
  }, 0);
  return { level, jobs };
};
