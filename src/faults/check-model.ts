import type { Cause, Fact, Job, Model, Question, Symptom } from './model.ts';

/** What is wrong in a model, as data; `where` names the id it was found at. */
export type ModelFault = {
  readonly kind:
    | 'twice'
    | 'unknown'
    | 'chance'
    | 'sum'
    | 'shape'
    | 'circle'
    | 'amount'
    | 'pair'
    | 'cured-elsewhere'
    | 'harm-without-danger'
    | 'danger-out-of-reach'
    | 'no-cause';
  readonly where: string;
};

const NEAR = 1e-9;
const isChance = (x: number): boolean => x >= 0 && x <= 1;
const sumsToOne = (row: readonly number[]): boolean => Math.abs(row.reduce((a, b) => a + b, 0) - 1) < NEAR;

type Ids = { readonly causes: ReadonlyMap<string, Cause>; readonly facts: ReadonlyMap<string, Fact>; readonly questions: ReadonlySet<string> };

type Find = (kind: ModelFault['kind'], is: boolean) => readonly ModelFault[];
const finder =
  (where: string): Find =>
  (kind, is) =>
    is ? [{ kind, where }] : [];

const twice = (items: readonly { readonly id: string }[]): readonly ModelFault[] => {
  const seen = new Set<string>();
  return items.flatMap(({ id }) => {
    const again = seen.has(id);
    seen.add(id);
    return finder(id)('twice', again);
  });
};

/** A pair is as grave as its parts, or a danger would hide behind a second fault. */
const asGrave = (pair: Cause, part: Cause): boolean => {
  const dangers = ['none', 'group-out', 'machine-off', 'leave-room'];
  const harms = ['nothing', 'machine', 'people'];
  return dangers.indexOf(pair.danger) >= dangers.indexOf(part.danger) && harms.indexOf(pair.harm) >= harms.indexOf(part.harm);
};

const causeFaults = ({ causes }: Ids, cause: Cause): readonly ModelFault[] => {
  const find = finder(cause.id);
  const parts = cause.parts.map((id) => causes.get(id));
  return [
    ...find('chance', !isChance(cause.severity) || !(cause.floor >= 0 && cause.floor <= 0.05)),
    ...find('amount', !(cause.waste >= 0)),
    ...find('harm-without-danger', cause.danger === 'none' && cause.harm === 'people'),
    ...find('pair', parts.length !== 0 && parts.length !== 2),
    ...find('pair', parts.some((part) => part === undefined || part.parts.length > 0 || !asGrave(cause, part))),
  ];
};

const inCircle = (facts: Ids['facts'], fact: Fact): boolean => {
  let above: Fact | undefined = fact;
  for (let i = 0; i <= facts.size; i += 1) {
    if (above === undefined || above.parent === null) return false;
    above = facts.get(above.parent);
  }
  return true;
};

const factFaults = ({ causes, facts }: Ids, fact: Fact): readonly ModelFault[] => {
  const find = finder(fact.id);
  const parent = fact.parent === null ? null : facts.get(fact.parent);
  const count = parent === null ? 1 : (parent?.states.length ?? 1);
  const tables = [fact.usual, ...Object.values(fact.byCause)];
  const rows = tables.flat();
  return [
    ...find('unknown', parent === undefined || Object.keys(fact.byCause).some((id) => !causes.has(id))),
    ...find('circle', inCircle(facts, fact)),
    ...find('shape', fact.states.length < 2 || tables.some((table) => table.length !== count)),
    ...find('shape', rows.some((row) => row.length !== fact.states.length)),
    ...find('shape', fact.idle !== null && fact.states[fact.idle] === undefined),
    ...find('chance', rows.some((row) => !row.every(isChance))),
    ...find('sum', rows.some((row) => !sumsToOne(row))),
  ];
};

const questionFaults = ({ facts }: Ids, question: Question): readonly ModelFault[] => {
  const find = finder(question.id);
  const states = facts.get(question.fact)?.states ?? [];
  const { answers } = question;
  return [
    ...twice(answers),
    ...find('unknown', !facts.has(question.fact)),
    ...find('shape', answers.length < 2 || answers.some(({ given }) => given.length !== states.length)),
    ...find('chance', !isChance(question.unsure) || answers.some(({ given }) => !given.every(isChance))),
    ...find('sum', states.some((_, s) => !sumsToOne(answers.map(({ given }) => given[s] ?? 0)))),
    ...find('amount', !(question.minutes >= 0) || !(question.cost >= 0)),
    // One that cannot be asked in every state, or needs hands, would bar all jobs for ever or lead to the danger itself.
    ...find('danger-out-of-reach', question.danger && (question.handsOn || question.machine !== 'any')),
  ];
};

const jobFaults = ({ causes }: Ids, job: Job): readonly ModelFault[] => {
  const find = finder(job.id);
  const cured = Object.entries(job.cures).filter(([, chance]) => chance > 0);
  const fixer = (id: string): Cause['fixer'] | undefined => causes.get(id)?.fixer;
  return [
    ...find('unknown', [...Object.keys(job.cures), ...job.unsafeUnder].some((id) => !causes.has(id))),
    ...find('chance', Object.values(job.cures).some((chance) => !isChance(chance))),
    ...find('pair', cured.some(([id]) => (causes.get(id)?.parts.length ?? 0) > 0)),
    ...find('cured-elsewhere', cured.some(([id]) => fixer(id) === 'technician' || fixer(id) === 'other-trade')),
    ...find('amount', !(job.minutes >= 0 && job.parts >= 0 && job.down.minutes >= 0)),
  ];
};

const symptomFaults = ({ causes, questions }: Ids, symptom: Symptom): readonly ModelFault[] => {
  const find = finder(symptom.id);
  return [
    ...twice(symptom.causes.map(({ cause }) => ({ id: cause }))),
    ...find('no-cause', symptom.causes.length === 0),
    ...find('unknown', symptom.causes.some(({ cause }) => !causes.has(cause))),
    ...find('unknown', symptom.questions.some((id) => !questions.has(id))),
    ...find('amount', symptom.causes.some(({ weight }) => !(weight > 0 && weight < Infinity))),
  ];
};

/**
 * Everything wrong in a model, none if it is sound. Above all: no staff job ends what is a technician's or another trade's
 * cause, nothing that hurts people goes without caution, and every danger question can be asked at any time without touching the machine.
 */
export const modelFaults = (model: Model): readonly ModelFault[] => {
  const ids: Ids = {
    causes: new Map(model.causes.map((cause) => [cause.id, cause])),
    facts: new Map(model.facts.map((fact) => [fact.id, fact])),
    questions: new Set(model.questions.map(({ id }) => id)),
  };
  return [
    ...[model.causes, model.facts, model.questions, model.jobs, model.symptoms].flatMap(twice),
    ...model.causes.flatMap((cause) => causeFaults(ids, cause)),
    ...model.facts.flatMap((fact) => factFaults(ids, fact)),
    ...model.questions.flatMap((question) => questionFaults(ids, question)),
    ...model.jobs.flatMap((job) => jobFaults(ids, job)),
    ...model.symptoms.flatMap((symptom) => symptomFaults(ids, symptom)),
  ];
};
