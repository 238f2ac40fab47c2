/** Small models for tests: everything not named is plain and harmless. */
import type { Answer, Case, Cause, Fact, Job, Model, Question, Reading, Situation, Symptom } from '../../../src/faults/model.ts';

export const cause = (id: string, over: Partial<Cause> = {}): Cause => ({
  id,
  fixer: 'technician',
  danger: 'none',
  harm: 'nothing',
  reach: 'group',
  severity: 0,
  waste: 0,
  floor: 0,
  parts: [],
  other: false,
  ...over,
});

export const fact = (id: string, usual: readonly (readonly number[])[], over: Partial<Fact> = {}): Fact => ({
  id,
  states: (usual[0] ?? []).map((_, s) => `s${s}`),
  parent: null,
  usual,
  byCause: {},
  idle: null,
  ...over,
});

export const answer = (id: string, given: readonly number[], over: Partial<Answer> = {}): Answer => ({
  id,
  given,
  danger: 'none',
  ...over,
});

export const question = (id: string, of: string, answers: readonly Answer[], over: Partial<Question> = {}): Question => ({
  id,
  fact: of,
  answers,
  unsure: 0,
  minutes: 0,
  cost: 0,
  handsOn: false,
  machine: 'any',
  danger: false,
  ...over,
});

/** A question that reads every state without error. */
export const plainQuestion = (id: string, of: Fact, over: Partial<Question> = {}): Question =>
  question(
    id,
    of.id,
    of.states.map((state, s) => answer(state, of.states.map((_, t) => (s === t ? 1 : 0)))),
    over,
  );

export const job = (id: string, cures: Readonly<Record<string, number>>, over: Partial<Job> = {}): Job => ({
  id,
  machine: 'hot',
  minutes: 0,
  parts: 0,
  cures,
  unsafeUnder: [],
  training: false,
  handsOn: false,
  down: { reach: 'group', minutes: 0 },
  ...over,
});

export const symptom = (
  causes: Readonly<Record<string, number>>,
  questions: readonly string[] = [],
  over: Partial<Symptom> = {},
): Symptom => ({
  id: 'symptom',
  causes: Object.entries(causes).map(([id, weight]) => ({ cause: id, weight })),
  questions,
  immediate: 'none',
  ...over,
});

export const model = (parts: Partial<Model> & { readonly symptoms: Model['symptoms'] }): Model => ({
  causes: [],
  facts: [],
  questions: [],
  jobs: [],
  ...parts,
});

/** A café without trade, so that nothing but fees, parts and asking costs anything. */
export const situation = (over: Partial<Situation> = {}): Situation => ({
  groups: 2,
  capacity: 45,
  trade: [],
  machine: 'hot',
  coldSlots: [],
  technicianIn: 300,
  otherTradeIn: 300,
  outOfHours: false,
  money: { callFee: 100, outOfHoursExtra: 0, otherTradeFee: 100, cancelFee: 0, staffAnHour: 0, margin: 0 },
  trained: true,
  barredJobs: [],
  ...over,
});

export const aCase = (readings: readonly Reading[] = [], over: Partial<Case> = {}): Case => ({
  symptom: 'symptom',
  readings,
  records: [],
  ...over,
});

export const said = (of: string, what: string): Reading => ({ kind: 'answer', question: of, answer: what });
export const unsure = (of: string): Reading => ({ kind: 'unsure', question: of });
export const tried = (of: string, result: 'cured' | 'better' | 'same'): Reading => ({ kind: 'tried', job: of, result });

/** A stream of numbers in [0, 1) from a seed (mulberry32). */
export const randomFrom = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 15), x | 1);
    x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
    return ((x ^ (x >>> 14)) >>> 0) / 4294967296;
  };
};
