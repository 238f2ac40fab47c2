import type { Compiled, CompiledFact } from './compiled.ts';
import { at } from './compiled.ts';
import type { Case, Reading } from './model.ts';
import { prior } from './prior.ts';
import { afterTry, together } from './tries.ts';

/**
 * What is believed after some readings. `mass[c]` is the chance of cause c together with all readings so far (they sum
 * to the chance of the readings); `rows[f]` are the fact's rows under each cause with the readings taken in, laid out
 * as in `CompiledFact`. So a belief is a model of the same shape, and the next reading is absorbed in the same way.
 */
export type Belief = { readonly mass: Float64Array; readonly rows: readonly Float64Array[] };

/** Chances of the causes; they sum to 1. */
export const chances = ({ mass }: Belief): Float64Array => {
  const sum = mass.reduce((a, b) => a + b, 0);
  return mass.map((x) => x / sum);
};

const spread = (causes: number, likelihood: ArrayLike<number>): Float64Array => {
  const states = likelihood.length;
  const all = new Float64Array(causes * states);
  for (let i = 0; i < all.length; i += 1) all[i] = at(likelihood, i % states);
  return all;
};

/** Multiplies each row by the likelihood of its states (per cause), normalises it, and returns what each row summed to. */
const weigh = (fact: CompiledFact, rows: Float64Array, likelihood: Float64Array): [Float64Array, Float64Array] => {
  const { states, parentStates } = fact;
  const next = rows.slice();
  const sums = new Float64Array(rows.length / states);
  for (let row = 0; row < sums.length; row += 1) {
    const cause = Math.floor(row / parentStates);
    let sum = 0;
    for (let s = 0; s < states; s += 1) sum += rows[row * states + s]! * likelihood[cause * states + s]!;
    sums[row] = sum;
    if (sum === 0) continue;
    for (let s = 0; s < states; s += 1) {
      next[row * states + s] = (rows[row * states + s]! * likelihood[cause * states + s]!) / sum;
    }
  }
  return [next, sums];
};

/** Takes in a reading of a fact: `likelihood[s]` is the chance of that reading in state s. */
export const absorb = (compiled: Compiled, belief: Belief, fact: number, likelihood: ArrayLike<number>): Belief => {
  const rows = [...belief.rows];
  let message = spread(compiled.causes.length, likelihood);
  for (let f = fact; f >= 0; f = at(compiled.facts, f).parent) {
    const [next, sums] = weigh(at(compiled.facts, f), at(rows, f), message);
    rows[f] = next;
    message = sums;
  }
  return { mass: belief.mass.map((mass, c) => mass * at(message, c)), rows };
};

/** Chance of each state of a fact under each cause: `[cause * states + state]`. */
export const stateChances = (compiled: Compiled, belief: Belief, fact: number): Float64Array => {
  const { parent, parentStates, states } = at(compiled.facts, fact);
  const rows = at(belief.rows, fact);
  if (parent < 0) return rows;
  const above = stateChances(compiled, belief, parent);
  const out = new Float64Array(compiled.causes.length * states);
  for (let row = 0; row < above.length; row += 1) {
    const cause = Math.floor(row / parentStates);
    for (let s = 0; s < states; s += 1) out[cause * states + s]! += above[row]! * rows[row * states + s]!;
  }
  return out;
};

/** For each answer of a question, its chance under each cause when the person does answer. */
export const answerChances = (compiled: Compiled, belief: Belief, question: number): readonly Float64Array[] => {
  const { fact, given } = at(compiled.questions, question);
  const { states } = at(compiled.facts, fact);
  const state = stateChances(compiled, belief, fact);
  return given.map((likelihood) => {
    const out = new Float64Array(compiled.causes.length);
    for (let i = 0; i < state.length; i += 1) out[Math.floor(i / states)]! += state[i]! * likelihood[i % states]!;
    return out;
  });
};

/** What a reading says of a fact, or null if it says nothing: unsure, a job, or of what the model does not know (any more). */
export const likelihoodOf = (
  compiled: Compiled,
  reading: Reading,
): { readonly fact: number; readonly likelihood: ArrayLike<number> } | null => {
  if (reading.kind === 'record') {
    const fact = compiled.factIndex.get(reading.fact);
    return fact === undefined ? null : { fact, likelihood: reading.likelihood };
  }
  const index = reading.kind === 'answer' ? compiled.questionIndex.get(reading.question) : undefined;
  if (reading.kind !== 'answer' || index === undefined) return null;
  const { question, fact, given } = at(compiled.questions, index);
  const likelihood = given[question.answers.findIndex(({ id }) => id === reading.answer)];
  return likelihood === undefined ? null : { fact, likelihood };
};

const takeIn = (compiled: Compiled, belief: Belief, reading: Reading): readonly Belief[] => {
  if (reading.kind === 'tried') return afterTry(compiled, belief, reading.job, reading.result);
  const said = likelihoodOf(compiled, reading);
  return [said === null ? belief : absorb(compiled, belief, said.fact, said.likelihood)];
};

const key = (reading: Reading): string => {
  switch (reading.kind) {
    case 'answer':
      return `answer ${reading.question}`;
    case 'unsure':
      return `unsure ${reading.question}`;
    case 'record':
      return `record ${reading.fact}`;
    case 'tried':
      return `tried ${reading.job}`;
  }
};

/** One answer for each question, record and job tried: the last one counts, so that saying it twice changes nothing. */
export const lastReadings = (readings: readonly Reading[]): readonly Reading[] => {
  const last = new Map(readings.map((reading, index) => [key(reading), index]));
  return readings.filter((reading, index) => last.get(key(reading)) === index);
};

export const start = (compiled: Compiled, mass: Float64Array): Belief => ({
  mass,
  rows: compiled.facts.map(({ rows }) => rows),
});

/** All the mass on "something else", or the chances before the readings where the symptom has no such cause. */
const giveUp = (compiled: Compiled, before: Float64Array): Belief => {
  const other = compiled.causes.findIndex((cause) => cause.other);
  return start(compiled, other < 0 ? before : before.map((_, c) => (c === other ? 1 : 0)));
};

/** What is believed in a case. Readings that no cause allows leave "something else" alone. */
export const believe = (compiled: Compiled, { readings, records }: Case): Belief => {
  const before = prior(compiled, records);
  const apart = lastReadings(readings).reduce<readonly Belief[]>(
    (beliefs, reading) => beliefs.flatMap((belief) => takeIn(compiled, belief, reading)),
    [start(compiled, before)],
  );
  const belief = together(apart);
  return belief.mass.some((mass) => mass > 0) ? belief : giveUp(compiled, before);
};
