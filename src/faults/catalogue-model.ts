import type { Catalogue } from './catalogue.ts';
import type { CatalogueCause, CatalogueFact, CatalogueJob, CatalogueQuestion, CatalogueSymptom, MachineKind, Trait } from './catalogue-schema.ts';
import type { Answer, Cause, Fact, Job, Model, Question, Symptom } from './model.ts';

/** The machine and bar a model is made for; causes, questions and jobs that do not fit are left out. */
export type Bar = { readonly kind: MachineKind; readonly has: ReadonlySet<Trait> };

/** Price of the parts of a job in the café's money, and of a drink thrown away. */
export type PartPrices = { readonly low: number; readonly mid: number; readonly high: number; readonly drink: number };

/** Common practice, no source: powder or a ring; a handle or burrs; a filter cartridge. In euro or the like. */
export const USUAL_PRICES: PartPrices = { low: 6, mid: 45, high: 80, drink: 1 };

/** Share of the cases of every complaint that no listed cause explains (assumed). */
const SOMETHING_ELSE_SHARE = 0.04;
export const SOMETHING_ELSE = 'something-else';

/** Chance that a danger is seen as what it is: looked at with more care than the rest (assumed). */
const DANGER_RIGHT = 0.97;


export const pairId = (parts: readonly [string, string]): string => parts.join('+');

type Row = readonly number[];
type Rows = readonly Row[];

/** Chances named for some states; what is left goes to the others as it usually does. */
const filledRow = (states: readonly string[], named: Readonly<Record<string, number>>, usual: Row): Row => {
  const left = 1 - Object.values(named).reduce((sum, each) => sum + each, 0);
  const usualLeft = states.reduce((sum, state, index) => (state in named ? sum : sum + (usual[index] ?? 0)), 0);
  const open = states.filter((state) => !(state in named)).length;
  return states.map((state, index) => named[state] ?? (usualLeft > 0 ? (left * (usual[index] ?? 0)) / usualLeft : left / open));
};

const usualRows = (fact: CatalogueFact, parent: CatalogueFact | undefined): Rows => {
  const { usual } = fact;
  if (Array.isArray(usual)) return [usual];
  return (parent?.states ?? []).map((state) => usual[state] ?? []);
};

type Spec = CatalogueCause['facts'][string];
const isByParent = (spec: Spec): spec is Record<string, Record<string, number>> => typeof Object.values(spec)[0] === 'object';

const causeRows = (spec: Spec, fact: CatalogueFact, parent: CatalogueFact | undefined): Rows =>
  usualRows(fact, parent).map((usual, index) => {
    const named = isByParent(spec) ? spec[parent?.states[index] ?? ''] : spec;
    return named ? filledRow(fact.states, named, usual) : usual;
  });

type Named = { readonly causes: readonly CatalogueCause[]; readonly pairs: Catalogue['pairs'] };

const modelFact = (fact: CatalogueFact, { causes, pairs }: Named, facts: ReadonlyMap<string, CatalogueFact>): Fact => {
  const parent = fact.parent === undefined ? undefined : facts.get(fact.parent);
  const byCause = causes.flatMap((cause) => {
    const spec = cause.facts[fact.id];
    return spec ? [[cause.id, causeRows(spec, fact, parent)] as const] : [];
  });
  return {
    id: fact.id,
    states: fact.states,
    parent: fact.parent ?? null,
    usual: usualRows(fact, parent),
    byCause: Object.fromEntries([...byCause, ...pairs.flatMap(({ parts }) => (fact.pairs ? [[pairId(parts), [fact.pairs]] as const] : []))]),
    idle: fact.idle === undefined ? null : fact.states.indexOf(fact.idle),
  };
};

/** Chance of one answer in each state: right as often as the question says, otherwise any of the others. */
const givenRow = (question: CatalogueQuestion, at: number, states: readonly string[], right: number): Row => {
  const named = question.answers.map((answer) => answer.state ?? answer.id);
  return states.map((state) => {
    const matching = named.filter((each) => each === state).length;
    if (matching === 0) return 1 / named.length;
    if (matching === named.length) return 1 / named.length;
    return named[at] === state ? right / matching : (1 - right) / (named.length - matching);
  });
};

const modelQuestion = (question: CatalogueQuestion, fact: CatalogueFact, danger: boolean, prices: PartPrices): Question => {
  const right = danger ? Math.max(DANGER_RIGHT, question.right) : question.right;
  const answers = question.answers.map((answer, at): Answer => ({ id: answer.id, given: givenRow(question, at, fact.states, right), danger: answer.danger?.act ?? 'none' }));
  return {
    id: question.id,
    fact: question.fact,
    answers,
    unsure: question.unsure,
    minutes: question.minutes,
    cost: question.drinks * prices.drink,
    handsOn: question.hands,
    machine: question.machine,
    danger,
  };
};

/** The rules weigh harm done at once; what only wears by going on is stopped when it is likely. */
const atOnce = (harm: CatalogueCause['harm']): Cause['harm'] => (harm === 'later' ? 'nothing' : harm);

const modelCause = (cause: CatalogueCause): Cause => ({
  id: cause.id,
  fixer: cause.fixer,
  danger: cause.danger,
  harm: atOnce(cause.harm),
  reach: cause.reach,
  severity: cause.severity,
  waste: cause.waste,
  floor: cause.floor,
  parts: [],
  other: false,
});

const ORDER = { danger: ['none', 'group-out', 'machine-off', 'leave-room'], harm: ['nothing', 'machine', 'people'], fixer: ['nobody', 'staff', 'trained', 'other-trade', 'technician'] } as const;
const graver = <T extends string>(order: readonly T[], a: T, b: T): T => (order.indexOf(a) >= order.indexOf(b) ? a : b);

/** Two causes at once: as grave as the graver, as wide as the wider. */
const pairCause = (a: CatalogueCause, b: CatalogueCause): Cause => ({
  id: pairId([a.id, b.id]),
  fixer: graver(ORDER.fixer, a.fixer, b.fixer),
  danger: graver(ORDER.danger, a.danger, b.danger),
  harm: graver(ORDER.harm, atOnce(a.harm), atOnce(b.harm)),
  reach: a.reach === 'machine' ? a.reach : b.reach,
  severity: 1 - (1 - a.severity) * (1 - b.severity),
  waste: Math.max(a.waste, b.waste),
  floor: 0,
  parts: [a.id, b.id],
  other: false,
});

const SOMETHING_ELSE_CAUSE: Cause = {
  id: SOMETHING_ELSE, fixer: 'technician', danger: 'none', harm: 'nothing', reach: 'machine', severity: 0.2, waste: 1, floor: 0, parts: [], other: true,
};

const modelJob = (job: CatalogueJob, causes: readonly CatalogueCause[], prices: PartPrices): Job => ({
  id: job.id,
  machine: job.machine,
  minutes: job.minutes,
  parts: job.parts === 'none' ? 0 : prices[job.parts],
  cures: Object.fromEntries(causes.flatMap((cause) => (job.id in cause.cures ? [[cause.id, cause.cures[job.id] ?? 0] as const] : []))),
  unsafeUnder: causes.filter((cause) => cause.hazards.some((hazard) => job.bars.includes(hazard))).map((cause) => cause.id),
  training: job.training,
  handsOn: true,
  waits: job.waits,
  down: job.down,
});

const weighted = (symptom: CatalogueSymptom, causes: readonly CatalogueCause[], pairs: Catalogue['pairs']): Symptom['causes'] => {
  const single = causes.flatMap((cause) => (symptom.id in cause.shows ? [{ cause: cause.id, weight: cause.shows[symptom.id] ?? 0 }] : []));
  const double = pairs.flatMap(({ parts, shows }) => (symptom.id in shows ? [{ cause: pairId(parts), weight: shows[symptom.id] ?? 0 }] : []));
  const all = [...single, ...double];
  const total = all.reduce((sum, each) => sum + each.weight, 0);
  return [...all, { cause: SOMETHING_ELSE, weight: (total * SOMETHING_ELSE_SHARE) / (1 - SOMETHING_ELSE_SHARE) }];
};

const SCREENS: readonly Trait[] = ['screen-screw', 'screen-press', 'screen-block'];

/** What follows from the rest: a lever, and most small machines, have no exhaust; a screen nobody looked at is not known. */
const withImplied = ({ kind, has }: Bar): Bar => ({
  kind,
  has: new Set([
    ...has,
    ...(has.has('lever') || (!has.has('exhaust') && (kind === 'lv' || kind === '1b' || kind === 'tb')) ? (['no-exhaust'] as const) : []),
    ...(SCREENS.some((screen) => has.has(screen)) ? [] : (['screen-unknown'] as const)),
  ]),
});

const fits = (needs: readonly Trait[], { has }: Bar): boolean => needs.every((trait) => has.has(trait));
const causeFits = (cause: CatalogueCause, bar: Bar): boolean =>
  fits(cause.needs, bar) && !cause.lacks.some((trait) => bar.has.has(trait)) && (cause.kinds?.includes(bar.kind) ?? true);

/** The engine's model for one machine: what does not fit it is out, defaults and prices are in. */
export const modelFor = (catalogue: Catalogue, machine: Bar, prices: PartPrices = USUAL_PRICES): Model => {
  const bar = withImplied(machine);
  const facts = new Map(catalogue.facts.map((fact) => [fact.id, fact]));
  const causes = catalogue.causes.filter((cause) => causeFits(cause, bar));
  const byId = new Map(causes.map((cause) => [cause.id, cause]));
  const pairs = catalogue.pairs.filter(({ parts }) => parts.every((part) => byId.has(part)));
  const questions = catalogue.questions.filter((question) => fits(question.needs, bar));
  const dangers = new Set(catalogue.symptoms.flatMap((symptom) => symptom.dangers));
  const asked = new Set(questions.map((question) => question.id));
  return {
    causes: [...causes.map(modelCause), ...pairs.flatMap(({ parts: [a, b] }) => pairOf(byId.get(a), byId.get(b))), SOMETHING_ELSE_CAUSE],
    facts: catalogue.facts.map((fact) => modelFact(fact, { causes, pairs }, facts)),
    questions: questions.flatMap((question) => {
      const fact = facts.get(question.fact);
      return fact ? [modelQuestion(question, fact, dangers.has(question.id), prices)] : [];
    }),
    jobs: catalogue.jobs.filter((job) => job.kind === 'cure' && fits(job.needs, bar)).map((job) => modelJob(job, causes, prices)),
    symptoms: catalogue.symptoms
      .filter((symptom) => fits(symptom.needs, bar))
      .map((symptom): Symptom => ({
        id: symptom.id,
        causes: weighted(symptom, causes, pairs),
        questions: [...symptom.dangers, ...symptom.questions].filter((id) => asked.has(id)),
        immediate: symptom.immediate?.act ?? 'none',
      }))
      .filter((symptom) => symptom.causes.length > 1),
  };
};

const pairOf = (a: CatalogueCause | undefined, b: CatalogueCause | undefined): readonly Cause[] => (a && b ? [pairCause(a, b)] : []);
