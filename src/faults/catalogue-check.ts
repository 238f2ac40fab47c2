import type { Catalogue } from './catalogue.ts';
import { modelFor, type Bar } from './catalogue-model.ts';
import { wordKeys } from './catalogue-links.ts';
import type { CatalogueJob, Hazard, MachineKind, Trait } from './catalogue-schema.ts';
import type { Fact, Model, Question, Symptom } from './model.ts';

/** Something the catalogue can do better; `where` is a complaint, a question or a job. */
export type Weakness = {
  readonly kind: 'alike' | 'never-wins' | 'never-ends' | 'nothing-moves' | 'answer-idle' | 'job-rule' | 'never-asked' | 'danger-elsewhere';
  readonly where: string;
  readonly what: string;
  readonly detail: string;
};

/** How much better one cause must explain some answer than another for the two to count as told apart. */
export const TELLING = 3;
/** Change of a cause's odds below which an answer says nothing. */
const IDLE = 1.25;
/** Chance at which a way of answers counts as ended on a cause. */
const ENDED = 0.5;

const COMMON: readonly Trait[] = ['boiler-gauge', 'pump-gauge', 'hot-tap', 'steam', 'second-wand', 'second-handle', 'second-basket', 'manual-button', 'grinder', 'scale', 'display'];
const machine = (kind: MachineKind, ...more: readonly Trait[]): Bar => ({ kind, has: new Set([...COMMON, ...more]) });

/** Machines the check tries: together they have every trait, so that each cause fits one of them. */
export const CHECK_BARS: readonly Bar[] = [
  machine('hx', 'mains', 'filter', 'exhaust', 'second-group', 'screen-screw'),
  machine('sb', 'mains', 'filter', 'exhaust', 'second-group', 'screen-block'),
  machine('sb', 'mains', 'filter', 'exhaust', 'second-group', 'screen-press'),
  machine('lv', 'mains', 'filter', 'lever', 'gas', 'second-group'),
  machine('1b', 'tank'),
  machine('tb', 'tank', 'filter'),
];

/** P(answer | cause) for one question: `[answer][cause]`, causes in the order of the symptom. */
export type Table = { readonly question: Question; readonly rows: readonly (readonly number[])[] };

const stateChances = (facts: ReadonlyMap<string, Fact>, fact: Fact, cause: string): readonly number[] => {
  const rows = fact.byCause[cause] ?? fact.usual;
  const parent = fact.parent === null ? undefined : facts.get(fact.parent);
  if (!parent) return rows[0] ?? [];
  const weights = stateChances(facts, parent, cause);
  return fact.states.map((_, state) => rows.reduce((sum, row, at) => sum + (weights[at] ?? 0) * (row[state] ?? 0), 0));
};

type Named = { readonly ids: readonly string[]; readonly prior: readonly number[] };

/** The causes of a complaint and their chances; pairs and "something else" count only where asked for. */
const named = (model: Model, symptom: Symptom, pairs = false): Named => {
  const wanted = new Set(model.causes.filter((cause) => (pairs || cause.parts.length === 0) && !cause.other).map((cause) => cause.id));
  const listed = symptom.causes.filter((each) => wanted.has(each.cause));
  const total = listed.reduce((sum, each) => sum + each.weight, 0);
  return { ids: listed.map((each) => each.cause), prior: listed.map((each) => each.weight / total) };
};

export const tablesOf = (model: Model, symptom: Symptom, causes: readonly string[]): readonly Table[] => {
  const facts = new Map(model.facts.map((fact) => [fact.id, fact]));
  const questions = new Map(model.questions.map((question) => [question.id, question]));
  return symptom.questions.flatMap((id) => {
    const question = questions.get(id);
    const fact = question && facts.get(question.fact);
    if (!question || !fact) return [];
    const states = causes.map((cause) => stateChances(facts, fact, cause));
    return [{ question, rows: question.answers.map(({ given }) => states.map((row) => row.reduce((sum, chance, at) => sum + chance * (given[at] ?? 0), 0))) }];
  });
};

/** Best ratio by which some single answer speaks for one cause against another, either way round. */
export const bestRatio = (tables: readonly Table[], a: number, b: number): number =>
  Math.max(1, ...tables.flatMap(({ rows }) => rows.map((row) => Math.max((row[a] ?? 0) / (row[b] ?? 1), (row[b] ?? 0) / (row[a] ?? 1)))));

const oddsMove = (row: readonly number[], prior: readonly number[], cause: number): number => {
  const seen = row.reduce((sum, chance, at) => sum + chance * (prior[at] ?? 0), 0);
  const mine = (row[cause] ?? 0) * (prior[cause] ?? 0);
  const before = (prior[cause] ?? 0) / (1 - (prior[cause] ?? 0));
  return mine / (seen - mine) / before;
};

/** How far one answer can raise a cause: that others fall when it is asked about them is no merit of its own. */
const bestMove = (tables: readonly Table[], prior: readonly number[], cause: number): number =>
  Math.max(1, ...tables.flatMap(({ rows }) => rows.map((row) => oddsMove(row, prior, cause))));

/** Chances of all causes when every question gets the answer that this cause makes likeliest; one reading a fact. */
export const typicalEnd = (tables: readonly Table[], prior: readonly number[], cause: number): readonly number[] => {
  const facts = new Set<string>();
  const mass = tables.reduce<readonly number[]>((chances, { question, rows }) => {
    if (facts.has(question.fact)) return chances;
    facts.add(question.fact);
    const likeliest = rows.toSorted((a, b) => (b[cause] ?? 0) - (a[cause] ?? 0))[0] ?? [];
    return chances.map((chance, at) => chance * (likeliest[at] ?? 0));
  }, prior);
  const total = mass.reduce((sum, each) => sum + each, 0);
  return mass.map((each) => each / total);
};

type Seen = { readonly alike: Map<string, number>; readonly move: Map<string, number>; readonly end: Map<string, { chance: number; first: string }>; readonly answer: Map<string, number>; readonly asked: Set<string> };

const raise = (map: Map<string, number>, key: string, value: number): void => void map.set(key, Math.max(map.get(key) ?? 0, value));

const lookAt = (seen: Seen, model: Model, symptom: Symptom): void => {
  const { ids, prior } = named(model, symptom);
  const tables = tablesOf(model, symptom, ids);
  for (const { question } of tables) seen.asked.add(question.id);
  for (const [a, id] of ids.entries()) {
    for (const [b, other] of ids.entries()) if (b > a) raise(seen.alike, `${symptom.id}|${[id, other].toSorted().join('|')}`, bestRatio(tables, a, b));
    if (ids.length > 1) raise(seen.move, `${symptom.id}|${id}`, bestMove(tables, prior, a));
    const end = typicalEnd(tables, prior, a);
    const chance = end[a] ?? 0;
    const key = `${symptom.id}|${id}`;
    if (chance >= (seen.end.get(key)?.chance ?? 0)) seen.end.set(key, { chance, first: ids[end.indexOf(Math.max(...end))] ?? '' });
  }
  answersMatter(seen, model, symptom);
};

const answersMatter = (seen: Seen, model: Model, symptom: Symptom): void => {
  const { ids, prior } = named(model, symptom, true);
  for (const { question, rows } of tablesOf(model, symptom, ids))
    for (const [at, answer] of question.answers.entries())
      for (const cause of ids.keys()) {
        const move = oddsMove(rows[at] ?? [], prior, cause);
        raise(seen.answer, `${question.id}|${answer.id}`, answer.danger === 'none' ? Math.max(move, 1 / move) : Infinity);
      }
};

const HOT_BARS: readonly Hazard[] = ['boiler-over', 'hot-stream'];
const ALL_BARS: readonly Hazard[] = ['electric', 'gas'];

/** Rules that a staff job keeps whatever it is for; see config/faults/jobs.yaml. */
const jobWeaknesses = (job: CatalogueJob): readonly Weakness[] => {
  const wanted = [...ALL_BARS, ...(job.machine === 'hot' ? HOT_BARS : [])].filter((hazard) => !job.bars.includes(hazard));
  const rule = (what: string, detail: string): Weakness => ({ kind: 'job-rule', where: job.id, what, detail });
  if (job.kind === 'safety') return [];
  return [
    ...wanted.map((hazard) => rule(hazard, `this job does not bar "${hazard}"`)),
    ...(job.machine === 'hot' && job.caution !== 'hot' ? [rule('caution', 'a hot job without the hot block of cautions')] : []),
    ...(job.machine === 'cold' && job.caution !== 'cold' ? [rule('caution', 'a cold job without the cold block of cautions')] : []),
    ...(job.machine === 'cold' && job.down.minutes > 0 ? [rule('down', 'a cold job is done before switching on and costs no trade')] : []),
  ];
};

const unusedJobs = (catalogue: Catalogue): readonly Weakness[] => {
  const used = new Set(catalogue.causes.flatMap((cause) => Object.keys(cause.cures)));
  return catalogue.jobs
    .filter((job) => job.kind === 'cure' && !used.has(job.id))
    .map((job) => ({ kind: 'job-rule', where: job.id, what: 'cures', detail: 'it cures nothing: name it at a cause, or make it a diagnosis' }));
};

/** A question that is a danger under one complaint comes first, and must be answered, under every other that lists it. */
const dangersElsewhere = ({ symptoms }: Catalogue): readonly Weakness[] => {
  const dangers = new Set(symptoms.flatMap((symptom) => symptom.dangers));
  return symptoms
    .filter((symptom) => !symptom.immediate)
    .flatMap(({ id, questions }) => questions.filter((question) => dangers.has(question)).map((question) => ({ kind: 'danger-elsewhere' as const, where: id, what: question, detail: 'a danger question elsewhere: list it among the dangers here, or leave it out' })));
};

const unsafeCures = (catalogue: Catalogue): readonly Weakness[] => {
  const jobs = new Map(catalogue.jobs.map((job) => [job.id, job]));
  return catalogue.causes.flatMap((cause) =>
    Object.keys(cause.cures)
      .filter((id) => cause.hazards.some((hazard) => jobs.get(id)?.bars.includes(hazard)))
      .map((id) => ({ kind: 'job-rule' as const, where: id, what: cause.id, detail: 'it is said to cure a cause under which it is unsafe: it would never be offered' })),
  );
};

/** Everything the catalogue can be asked about without an engine. Empty for a catalogue that may ship. */
export const weaknesses = (catalogue: Catalogue, bars: readonly Bar[] = CHECK_BARS): readonly Weakness[] => {
  const seen: Seen = { alike: new Map(), move: new Map(), end: new Map(), answer: new Map(), asked: new Set() };
  for (const bar of bars) {
    const model = modelFor(catalogue, bar);
    for (const symptom of model.symptoms) lookAt(seen, model, symptom);
  }
  const found: Weakness[] = [];
  for (const [key, ratio] of seen.alike) {
    const [where = '', a = '', b = ''] = key.split('|');
    if (ratio < TELLING) found.push({ kind: 'alike', where, what: `${a}, ${b}`, detail: `the best answer speaks only ${ratio.toFixed(1)} to 1` });
  }
  for (const [key, move] of seen.move) {
    const [where = '', what = ''] = key.split('|');
    if (move < TELLING) found.push({ kind: 'nothing-moves', where, what, detail: `the best answer raises its odds only by ${move.toFixed(1)}` });
  }
  for (const [key, { chance, first }] of seen.end) {
    const [where = '', what = ''] = key.split('|');
    if (first !== what) found.push({ kind: 'never-wins', where, what, detail: `with its own answers ${first} comes first` });
    else if (chance < ENDED) found.push({ kind: 'never-ends', where, what, detail: `with its own answers it reaches ${chance.toFixed(2)} only` });
  }
  for (const cause of catalogue.causes)
    for (const symptom of Object.keys(cause.shows))
      if (!seen.end.has(`${symptom}|${cause.id}`)) found.push({ kind: 'never-ends', where: symptom, what: cause.id, detail: 'no machine of the check can have it there' });
  for (const question of catalogue.questions) {
    if (!seen.asked.has(question.id)) found.push({ kind: 'never-asked', where: question.id, what: '', detail: 'no complaint asks it' });
    else if (!question.rule)
      for (const answer of question.answers)
        if ((seen.answer.get(`${question.id}|${answer.id}`) ?? 0) < IDLE) found.push({ kind: 'answer-idle', where: question.id, what: answer.id, detail: 'whatever is said here changes nothing' });
  }
  return [...found, ...catalogue.jobs.flatMap(jobWeaknesses), ...unusedJobs(catalogue), ...unsafeCures(catalogue), ...dangersElsewhere(catalogue)];
};

export type Counts = { readonly symptoms: number; readonly causes: number; readonly nothingWrong: number; readonly otherTrades: number; readonly pairs: number; readonly questions: number; readonly facts: number; readonly jobs: number; readonly texts: number };

export const countsOf = (catalogue: Catalogue): Counts => ({
  symptoms: catalogue.symptoms.length,
  causes: catalogue.causes.length,
  nothingWrong: catalogue.causes.filter((cause) => cause.fixer === 'nobody').length,
  otherTrades: catalogue.causes.filter((cause) => cause.fixer === 'other-trade').length,
  pairs: catalogue.pairs.length,
  questions: catalogue.questions.length,
  facts: catalogue.facts.length,
  jobs: catalogue.jobs.length,
  texts: wordKeys(catalogue).length,
});
