import type { Cause, Fact, Job, Model, Question, Symptom } from './model.ts';

/** A fact with its rows laid out for every cause of the symptom: `rows[(cause * parentStates + parentState) * states + state]`. */
export type CompiledFact = {
  readonly fact: Fact;
  readonly states: number;
  /** Index of the parent among the compiled facts, which always stands before its children; -1 without one. */
  readonly parent: number;
  readonly parentStates: number;
  readonly rows: Float64Array;
};

export type CompiledQuestion = {
  readonly question: Question;
  readonly fact: number;
  /** One array over the fact's states for each answer. */
  readonly given: readonly Float64Array[];
};

/** A job with its chance to end each single cause, 0 for pairs and for what it cannot end. */
export type CompiledJob = { readonly job: Job; readonly cures: Float64Array };

/** A model narrowed to one symptom, with indices in place of ids. */
export type Compiled = {
  readonly model: Model;
  readonly symptom: Symptom;
  /** The symptom's causes in their order, then the parts of its pairs that it does not list, with weight 0. */
  readonly causes: readonly Cause[];
  readonly weights: Float64Array;
  readonly causeIndex: ReadonlyMap<string, number>;
  /** Indices of both parts for a pair, null for a single cause. */
  readonly pairs: readonly (readonly [number, number] | null)[];
  /** Indices of the causes that ask for any caution. */
  readonly dangerous: readonly number[];
  readonly facts: readonly CompiledFact[];
  readonly factIndex: ReadonlyMap<string, number>;
  /** All questions of the model: a reading taken under another symptom counts here too. */
  readonly questions: readonly CompiledQuestion[];
  readonly questionIndex: ReadonlyMap<string, number>;
  /** Questions that may be asked about this symptom, in its order. */
  readonly askable: readonly number[];
  /** All jobs of the model that can end some cause here. */
  readonly jobs: readonly CompiledJob[];
  readonly jobIndex: ReadonlyMap<string, number>;
};

export const indexed = (ids: readonly { readonly id: string }[]): ReadonlyMap<string, number> =>
  new Map(ids.map((it, index) => [it.id, index]));

/** The item at an index that the caller knows to be there. */
export const at = <T>(items: ArrayLike<T>, index: number): T => {
  const item = items[index];
  if (item === undefined) throw new RangeError(`nothing at index ${index}`);
  return item;
};

const found = <T>(map: ReadonlyMap<string, T>, id: string, what: string): T => {
  const item = map.get(id);
  if (item === undefined) throw new RangeError(`no ${what} ${id} in the model`);
  return item;
};

const caused = (model: Model, symptom: Symptom): readonly Cause[] => {
  const all = new Map(model.causes.map((cause) => [cause.id, cause]));
  const listed = symptom.causes.map((entry) => found(all, entry.cause, 'cause'));
  const ids = new Set(listed.map((cause) => cause.id));
  const parts = [...new Set(listed.flatMap((cause) => cause.parts))].filter((id) => !ids.has(id));
  return [...listed, ...parts.map((id) => found(all, id, 'cause'))];
};

type Rows = readonly (readonly number[])[];

const flat = (fact: Fact): Rows => fact.usual.map((row) => row.map(() => 1 / row.length));

/** Idle only if both leave it idle; the other states share the rest as their own rows do. */
const bothAct = (a: readonly number[], b: readonly number[], idle: number): readonly number[] => {
  const rest = 1 - at(a, idle) * at(b, idle);
  const acts = a.map((x, s) => (s === idle ? 0 : x + at(b, s)));
  const sum = acts.reduce((x, y) => x + y, 0);
  return acts.map((x, s) => (s === idle ? 1 - rest : sum === 0 ? 0 : (rest * x) / sum));
};

const mean = (a: readonly number[], b: readonly number[]): readonly number[] => a.map((x, s) => (x + at(b, s)) / 2);

/** The rows of a fact under a cause: its own, those of a pair's parts joined, flat for "something else", or the usual ones. */
export const rowsOf = (fact: Fact, cause: Cause): Rows => {
  const own = fact.byCause[cause.id];
  if (own !== undefined) return own;
  if (cause.other) return flat(fact);
  const [first, second] = cause.parts;
  if (first === undefined || second === undefined) return fact.usual;
  const a = fact.byCause[first] ?? fact.usual;
  const b = fact.byCause[second] ?? fact.usual;
  const { idle } = fact;
  return a.map((row, p) => (idle === null ? mean(row, at(b, p)) : bothAct(row, at(b, p), idle)));
};

const parentsFirst = (facts: readonly Fact[]): readonly Fact[] => {
  const all = new Map(facts.map((fact) => [fact.id, fact]));
  const sorted = new Map<string, Fact>();
  const add = (fact: Fact, below: number): void => {
    if (below > facts.length) throw new RangeError(`facts stand in a circle at ${fact.id}`);
    if (fact.parent !== null) add(found(all, fact.parent, 'fact'), below + 1);
    sorted.set(fact.id, fact);
  };
  for (const fact of facts) add(fact, 0);
  return [...sorted.values()];
};

/** The rows of a fact one after another, as they are laid out in memory. */
const inARow = (rows: Rows): Float64Array => Float64Array.from(rows.flat());

/** Most causes leave most facts as usual: that row is laid out once and copied. */
const compileFact = (fact: Fact, causes: readonly Cause[], { facts, factIndex }: Shared): CompiledFact => {
  const parent = fact.parent === null ? -1 : found(factIndex, fact.parent, 'fact');
  const parentStates = parent < 0 ? 1 : at(facts, parent).states.length;
  const one = parentStates * fact.states.length;
  const rows = new Float64Array(causes.length * one);
  const usual = inARow(fact.usual);
  causes.forEach((cause, c) => {
    const own = rowsOf(fact, cause);
    const laid = own === fact.usual ? usual : inARow(own);
    if (laid.length !== one) throw new RangeError(`fact ${fact.id} has ${laid.length} chances under ${cause.id} instead of ${one}`);
    rows.set(laid, c * one);
  });
  return { fact, states: fact.states.length, parent, parentStates, rows };
};

const compileJobs = (model: Model, causes: readonly Cause[]): readonly CompiledJob[] =>
  model.jobs
    .map((job) => ({ job, cures: Float64Array.from(causes, (cause) => job.cures[cause.id] ?? 0) }))
    .filter(({ cures }) => cures.some((chance) => chance > 0));

/** What all symptoms of a model have in common. */
type Shared = {
  readonly facts: readonly Fact[];
  readonly factIndex: ReadonlyMap<string, number>;
  readonly questions: readonly CompiledQuestion[];
  readonly questionIndex: ReadonlyMap<string, number>;
  readonly bySymptom: Map<string, Compiled>;
};

const share = (model: Model): Shared => {
  const facts = parentsFirst(model.facts);
  const factIndex = indexed(facts);
  const questions = model.questions.map((question) => ({
    question,
    fact: found(factIndex, question.fact, 'fact'),
    given: question.answers.map((answer) => Float64Array.from(answer.given)),
  }));
  return { facts, factIndex, questions, questionIndex: indexed(model.questions), bySymptom: new Map() };
};

const build = (model: Model, symptom: Symptom, shared: Shared): Compiled => {
  const causes = caused(model, symptom);
  const causeIndex = indexed(causes);
  const { facts, factIndex, questions, questionIndex } = shared;
  const jobs = compileJobs(model, causes);
  return {
    model,
    symptom,
    causes,
    causeIndex,
    weights: Float64Array.from(causes, (_, c) => symptom.causes[c]?.weight ?? 0),
    pairs: causes.map(({ parts: [a, b] }) =>
      a === undefined || b === undefined ? null : [found(causeIndex, a, 'cause'), found(causeIndex, b, 'cause')],
    ),
    dangerous: [...causes.keys()].filter((c) => at(causes, c).danger !== 'none'),
    facts: facts.map((fact) => compileFact(fact, causes, shared)),
    factIndex,
    questions,
    questionIndex,
    askable: symptom.questions.map((id) => found(questionIndex, id, 'question')),
    jobs,
    jobIndex: indexed(jobs.map(({ job }) => job)),
  };
};

const kept = new WeakMap<Model, Shared>();

/** Narrows a model to one symptom. Kept as long as the model object lives: a model is never changed in place. */
export const compile = (model: Model, symptomId: string): Compiled => {
  const shared = kept.get(model) ?? share(model);
  kept.set(model, shared);
  const known = shared.bySymptom.get(symptomId);
  if (known !== undefined) return known;
  const symptom = model.symptoms.find(({ id }) => id === symptomId);
  if (symptom === undefined) throw new RangeError(`no symptom ${symptomId} in the model`);
  const fresh = build(model, symptom, shared);
  shared.bySymptom.set(symptomId, fresh);
  return fresh;
};
