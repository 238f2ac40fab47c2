import type { Compiled, CompiledJob } from './compiled.ts';
import { at } from './compiled.ts';
import type { Danger, Reading } from './model.ts';
import type { Limits } from './plan.ts';
import type { Level } from './programme.ts';

/**
 * Rules that stand above every cost. The caution that causes ask for starts when the chance of those that can hurt people
 * (also by fire or pressure) passes `people`, of those that can break the machine too `machine`, of all of them `any`. At
 * `unsafe` a job is no longer offered, and above `beforeAsking` nothing is asked first. All assumed: how much risk a café
 * may carry is not a thing to measure.
 */
export const RISK = { people: 0.01, machine: 0.05, any: 0.5, unsafe: 0.01, beforeAsking: 0.2 } as const;

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
    const asked = compiled.questions[compiled.questionIndex.get(reading.question) ?? -1];
    const answer = asked?.question.answers.find(({ id }) => id === reading.answer);
    const level = levelOf(answer?.danger ?? 'none');
    return higher(worst, { level, because: [{ kind: 'answer', question: reading.question, answer: reading.answer }] });
  }, NO_CAUTION);

/** Mass of the causes that ask for a level or more: that can hurt people, that can hurt people or machine, and all. */
type AtRisk = { readonly people: number; readonly machine: number; readonly any: number };

const atRisk = ({ causes, dangerous }: Compiled, mass: Float64Array, level: Level): AtRisk => {
  let [people, machine, any] = [0, 0, 0];
  for (const c of dangerous) {
    const { danger, harm } = causes[c]!;
    if (LEVEL[danger] < level) continue;
    any += mass[c]!;
    if (harm !== 'nothing') machine += mass[c]!;
    if (harm === 'people') people += mass[c]!;
  }
  return { people, machine, any };
};

/** Highest level whose causes are too likely to go without it, for a mass that sums to `sum`. */
export const chanceLevel = (compiled: Compiled, mass: Float64Array, sum = 1): Level => {
  if (compiled.dangerous.length === 0) return 0;
  for (const level of [3, 2, 1] as const) {
    const { people, machine, any } = atRisk(compiled, mass, level);
    if (people > RISK.people * sum || machine > RISK.machine * sum || any > RISK.any * sum) return level;
  }
  return 0;
};

/** Mass of the causes that ask for this level or more, in units of what the rules let pass. */
export const foundDanger = (compiled: Compiled, mass: Float64Array, level: Level): number => {
  const { people, machine, any } = atRisk(compiled, mass, level);
  return Math.max(people / RISK.people, machine / RISK.machine, any / RISK.any);
};

/** Chance of the causes that ask for this level or more; mass sums to 1. */
export const dangerChance = (compiled: Compiled, mass: Float64Array, level: Level): number =>
  atRisk(compiled, mass, level).any;

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

/** Whether the complaint or one of all answers told of a danger, of whatever level. */
export const toldDanger = (compiled: Compiled, readings: readonly Reading[]): boolean =>
  symptomCaution(compiled).level > 0 || answeredCaution(compiled, readings).level > 0;

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
  let sum = 0;
  for (let c = 0; c < mass.length; c += 1) sum += mass[c]!;
  const level = Math.max(least, chanceLevel(compiled, mass, sum)) as Level;
  let jobs = 0;
  for (let j = 0; level < 2 && j < table.causes.length; j += 1) {
    if (dangerOpen && table.handsOn[j] === true) continue;
    let unsafe = 0;
    for (const c of table.causes[j]!) unsafe += mass[c]!;
    if (unsafe <= RISK.unsafe * sum) jobs |= 1 << j;
  }
  return { level, jobs };
};
