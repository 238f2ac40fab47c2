import type { Catalogue, Finding, Places } from './catalogue.ts';
import type { CatalogueCause, CatalogueFact } from './catalogue-schema.ts';

/** Least number of facts a cause must speak about: fewer cannot be told from its neighbours. */
const LEAST_FACTS = 3;

/** Edits between two ids: only used to suggest the one that was meant. */
const distance = (a: string, b: string): number => {
  let above = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1)
      row.push(Math.min((above[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (above[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1)));
    above = row;
  }
  return above[b.length] ?? 0;
};

const nearest = (wanted: string, known: readonly string[]): string =>
  known.toSorted((a, b) => distance(wanted, a) - distance(wanted, b)).slice(0, 3).join(', ');

type Report = (file: string, key: string, problem: string, cure: string) => void;

const checkKnown = (report: Report, file: string, key: string, what: string, wanted: readonly string[], known: ReadonlySet<string>): void => {
  for (const id of wanted)
    if (!known.has(id)) report(file, key, `"${id}" is no ${what}`, `Add it to the ${what}s, or use one of: ${nearest(id, [...known])}.`);
};

const checkUnique = (report: Report, file: string, what: string, ids: readonly string[]): void => {
  const seen = new Set<string>();
  for (const id of ids) {
    if (seen.has(id)) report(file, `[${id}]`, `the ${what} "${id}" is there twice`, 'Remove one, or give it another id.');
    seen.add(id);
  }
};

const sumOf = (row: readonly number[]): number => row.reduce((sum, each) => sum + each, 0);

const checkFact = (report: Report, file: string, fact: CatalogueFact, byId: ReadonlyMap<string, CatalogueFact>): void => {
  const key = `[${fact.id}].usual`;
  const parent = fact.parent === undefined ? undefined : byId.get(fact.parent);
  if (fact.idle !== undefined) checkKnown(report, file, `[${fact.id}].idle`, 'state', [fact.idle], new Set(fact.states));
  if (fact.parent !== undefined && !parent) return report(file, `[${fact.id}].parent`, `"${fact.parent}" is no fact`, 'Name a fact of this file.');
  if (parent?.parent !== undefined) report(file, `[${fact.id}].parent`, 'the parent has a parent itself', 'Only one step is allowed.');
  if (Array.isArray(fact.usual) === (parent !== undefined))
    return report(file, key, parent ? 'one row for each state of the parent is missing' : 'a fact without a parent has one row', 'See seal-feel for the form.');
  const rows = Array.isArray(fact.usual) ? [fact.usual] : Object.values(fact.usual);
  if (!Array.isArray(fact.usual) && parent)
    for (const state of parent.states) if (!fact.usual[state]) report(file, key, `no row for "${state}"`, `Add chances for ${parent.id} = ${state}.`);
  for (const row of fact.pairs ? [...rows, fact.pairs] : rows) {
    if (row.length !== fact.states.length) report(file, key, `${row.length} chances for ${fact.states.length} states`, 'Give one chance a state, in the order of the states.');
    if (Math.abs(sumOf(row) - 1) > 1e-6) report(file, key, `the chances sum to ${sumOf(row).toFixed(3)}`, 'Make them sum to 1.');
  }
};

const isRows = (spec: CatalogueCause['facts'][string]): spec is Record<string, Record<string, number>> => typeof Object.values(spec)[0] === 'object';

const checkStates = (report: Report, file: string, key: string, spec: Readonly<Record<string, number>>, fact: CatalogueFact): void => {
  checkKnown(report, file, key, 'state', Object.keys(spec), new Set(fact.states));
  const sum = sumOf(Object.values(spec));
  if (sum > 1 + 1e-9) report(file, key, `the chances sum to ${sum.toFixed(3)}`, 'Lower one: together at most 1.');
  if (fact.states.every((state) => state in spec) && sum < 1 - 1e-6) report(file, key, `all states are named, yet they sum to ${sum.toFixed(3)}`, 'Make them sum to 1, or leave one out.');
};

const checkCauseFacts = (report: Report, file: string, cause: CatalogueCause, byId: ReadonlyMap<string, CatalogueFact>): void => {
  for (const [id, spec] of Object.entries(cause.facts)) {
    const key = `[${cause.id}].facts.${id}`;
    const fact = byId.get(id);
    if (!fact) {
      report(file, key, `"${id}" is no fact`, `Add it to facts.yaml with a question, or use one of: ${nearest(id, [...byId.keys()])}.`);
    } else if (isRows(spec)) {
      const parent = fact.parent === undefined ? undefined : byId.get(fact.parent);
      if (!parent) report(file, key, 'rows by a parent, but this fact has none', 'Write the states directly.');
      else checkKnown(report, file, key, 'state', Object.keys(spec), new Set(parent.states));
      for (const row of Object.values(spec)) checkStates(report, file, key, row, fact);
    } else checkStates(report, file, key, spec, fact);
  }
};

const checkFixer = (report: Report, file: string, cause: CatalogueCause): void => {
  const cures = Object.keys(cause.cures);
  const byHand = cause.fixer === 'staff' || cause.fixer === 'trained';
  if (byHand && cures.length === 0) report(file, `[${cause.id}].cures`, 'staff are to end it, but no job does', 'Name a job and its chance, or make it a technician\'s.');
  if (!byHand && cures.length > 0) report(file, `[${cause.id}].cures`, `a ${cause.fixer} ends it, yet ${cures.join(', ')} is said to`, 'Remove the cure: staff never try what is not theirs.');
};

const checkCause = (report: Report, file: string, cause: CatalogueCause, catalogue: Catalogue, facts: ReadonlyMap<string, CatalogueFact>): void => {
  const shown = Object.keys(cause.shows);
  if (shown.length === 0) report(file, `[${cause.id}].shows`, 'it shows under no complaint', 'Name at least one symptom and how often.');
  checkKnown(report, file, `[${cause.id}].shows`, 'symptom', shown, new Set(catalogue.symptoms.map((each) => each.id)));
  checkKnown(report, file, `[${cause.id}].cures`, 'job', Object.keys(cause.cures), new Set(catalogue.jobs.map((each) => each.id)));
  checkCauseFacts(report, file, cause, facts);
  checkFixer(report, file, cause);
  if (Object.keys(cause.facts).length < LEAST_FACTS)
    report(file, `[${cause.id}].facts`, `only ${Object.keys(cause.facts).length} facts speak of it`, `Say at least ${LEAST_FACTS} things that are seen when it is there.`);
  if (cause.danger !== 'none' && cause.harm === 'nothing') report(file, `[${cause.id}].harm`, 'something is stopped for it, yet it harms nothing', 'Say people, machine or later: the limits of risk hang on it.');
  if (cause.harm === 'people' && cause.danger === 'none') report(file, `[${cause.id}].danger`, 'it can hurt people, yet nothing is stopped', 'Say what must be stopped.');
  if (!cause.code.startsWith(cause.area)) report(file, `[${cause.id}].code`, `"${cause.code}" is not of area ${cause.area}`, 'Move it to its area or give it a code of this one.');
};

const checkQuestions = (report: Report, file: (id: string) => string, catalogue: Catalogue, facts: ReadonlyMap<string, CatalogueFact>): void => {
  for (const question of catalogue.questions) {
    const fact = facts.get(question.fact);
    if (fact) checkKnown(report, file(question.id), `[${question.id}].answers`, 'state', question.answers.map((each) => each.state ?? each.id), new Set(fact.states));
    else report(file(question.id), `[${question.id}].fact`, `"${question.fact}" is no fact`, `Add it to facts.yaml, or use one of: ${nearest(question.fact, [...facts.keys()])}.`);
    checkUnique(report, file(question.id), 'answer', question.answers.map((each) => each.id));
  }
};

const checkSymptoms = (report: Report, file: (id: string) => string, catalogue: Catalogue): void => {
  const questions = new Map(catalogue.questions.map((each) => [each.id, each]));
  for (const symptom of catalogue.symptoms) {
    const asked = [...symptom.dangers, ...symptom.questions];
    checkKnown(report, file(symptom.id), `[${symptom.id}].questions`, 'question', asked, new Set(questions.keys()));
    checkUnique(report, file(symptom.id), 'question', asked);
    for (const id of symptom.dangers)
      if (questions.get(id)?.answers.every((answer) => !answer.danger)) report(file(symptom.id), `[${symptom.id}].dangers`, `no answer of "${id}" is a danger`, 'Mark one in questions.yaml, or move it to questions.');
  }
};

const checkPairs = (report: Report, catalogue: Catalogue): void => {
  const causes = new Map(catalogue.causes.map((each) => [each.id, each]));
  for (const { parts, shows } of catalogue.pairs) {
    const key = `[${parts.join(' + ')}]`;
    checkKnown(report, 'pairs.yaml', key, 'cause', parts, new Set(causes.keys()));
    for (const symptom of Object.keys(shows))
      if (!parts.some((part) => symptom in (causes.get(part)?.shows ?? {}))) report('pairs.yaml', key, `neither of them shows as "${symptom}"`, 'Name a symptom of one of the two.');
  }
};

/** Whether everything that is named exists and fits: the part of the check that no single file can tell. */
export const crossCheck = (catalogue: Catalogue, places: Places): readonly Finding[] => {
  const findings: Finding[] = [];
  const report: Report = (file, key, problem, cure) => findings.push({ file, key, problem, cure });
  const placeOf = (kind: string) => (id: string): string => places.get(`${kind} ${id}`) ?? `${kind}.yaml`;
  const facts = new Map(catalogue.facts.map((each) => [each.id, each]));
  for (const kind of ['symptoms', 'questions', 'facts', 'jobs', 'causes'] as const) checkUnique(report, kind, kind.slice(0, -1), catalogue[kind].map((each) => each.id));
  checkUnique(report, 'causes', 'code', catalogue.causes.map((each) => each.code));
  for (const fact of catalogue.facts) checkFact(report, placeOf('facts')(fact.id), fact, facts);
  checkQuestions(report, placeOf('questions'), catalogue, facts);
  checkSymptoms(report, placeOf('symptoms'), catalogue);
  for (const cause of catalogue.causes) checkCause(report, placeOf('causes')(cause.id), cause, catalogue, facts);
  checkPairs(report, catalogue);
  return findings;
};

/** Texts that the catalogue needs and the words do not have. */
export const missingWords = (catalogue: Catalogue, has: (key: string) => boolean): readonly Finding[] =>
  wordKeys(catalogue).filter((key) => !has(key)).map((key) => ({ file: 'words/<language>/faults-catalogue.json', key, problem: 'there is no text', cure: 'Write it; the neighbours show the length.' }));

/** Every key of config/words that the catalogue uses. */
export const wordKeys = (catalogue: Catalogue): readonly string[] => [
  'faults.answer.dont-know',
  ...catalogue.symptoms.flatMap(({ id }) => [`faults.symptom.${id}`, `faults.symptom.${id}.short`]),
  ...catalogue.questions.flatMap(({ id, show, answers }) => [`faults.question.${id}`, `faults.question.${id}.why`, ...(show ? [`faults.show.${id}`] : []), ...answers.map((answer) => `faults.answer.${id}.${answer.id}`)]),
  ...catalogue.causes.flatMap(({ id }) => [`faults.cause.${id}`, `faults.cause.${id}.short`, `faults.cause.${id}.until`]),
  ...catalogue.jobs.flatMap(({ id }) => [`faults.job.${id}`, `faults.job.${id}.short`]),
];
