// The questionnaire on the shipped catalogue, and its posterior beside a general library on the same network.
import { join } from 'node:path';
import bayes from 'bayesjs';
import { believe, chances } from '../../dist/faults/belief.js';
import { barOf } from '../../dist/faults/bar.js';
import { compile } from '../../dist/faults/compiled.js';
import { modelFor } from '../../dist/faults/catalogue-model.js';
import { readCatalogue } from '../../dist/faults/catalogue-read.js';
import { next } from '../../dist/faults/verdict.js';
import { situationOf } from '../../dist/faults/situation.js';
import { median, percentile } from './figures.mjs';

const { inferences } = bayes;

const NOW = Date.parse('2026-06-10T13:00:00Z');
const model = modelFor(readCatalogue(join('config', 'faults')), barOf({ kind: 'HX', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' }));
const situation = situationOf({ groups: 2, hours: null, trade: { drinksDay: 180, callOut: 120, staffHour: 15 }, cold: false, trained: false, barred: [] }, NOW);

/** A repeatable choice of answers. */
const chooser = (seed) => () => (seed = (seed * 1103515245 + 12345) % 2147483648) / 2147483648;

/** Processor time since then, in ms: what other programs on the machine take is not in it. */
const processor = (before) => {
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
};

const walk = (symptom, pick, { steps, work, verdicts }) => {
  const readings = [];
  for (let asked = 0; asked < 30; asked++) {
    const [from, before] = [performance.now(), process.cpuUsage()];
    const found = next(model, situation, { symptom, readings, records: [] });
    const took = performance.now() - from;
    if (found.kind === 'ask') work.push(processor(before));
    (found.kind === 'ask' ? steps : verdicts).push(took);
    if (found.kind !== 'ask') return;
    const question = model.questions.find(({ id }) => id === found.question);
    const safe = question.answers.filter(({ danger }) => danger === 'none');
    const answer = (safe.length > 0 ? safe : question.answers)[Math.floor(pick() * Math.max(1, safe.length)) % Math.max(1, safe.length)];
    readings.push(answer ? { kind: 'answer', question: question.id, answer: answer.id } : { kind: 'unsure', question: question.id });
  }
};

/** The same small network for both: one cause of eight, six facts without parents, one question each. */
const small = () => {
  const causes = Array.from({ length: 8 }, (_, c) => ({ ...model.causes[c], id: `c${c}`, parts: [], other: false, floor: 0 }));
  const pick = chooser(7);
  const row = () => { const a = 0.1 + 0.8 * pick(); return [a, 1 - a]; };
  const facts = Array.from({ length: 6 }, (_, f) => ({ id: `f${f}`, states: ['yes', 'no'], parent: null, usual: [row()], byCause: Object.fromEntries(causes.map(({ id }) => [id, [row()]])), idle: null }));
  const questions = facts.map(({ id }) => ({ id: `q${id}`, fact: id, answers: [{ id: 'yes', given: [0.9, 0.1], danger: 'none' }, { id: 'no', given: [0.1, 0.9], danger: 'none' }], unsure: 0, minutes: 1, cost: 0, handsOn: false, machine: 'any', danger: false }));
  const symptoms = [{ id: 's', causes: causes.map(({ id }) => ({ cause: id, weight: 1 })), questions: questions.map(({ id }) => id), immediate: 'none' }];
  return { causes, facts, questions, jobs: [], symptoms };
};

// The reference library names this key of its tables itself.
/* oxlint-disable unicorn/no-thenable */
const network = (of) => ({
  cause: { id: 'cause', states: of.causes.map(({ id }) => id), parents: [], cpt: Object.fromEntries(of.causes.map(({ id }) => [id, 1 / of.causes.length])) },
  ...Object.fromEntries(of.facts.map(({ id, states, byCause }) => [id, { id, states, parents: ['cause'], cpt: of.causes.map((c) => ({ when: { cause: c.id }, then: { yes: byCause[c.id][0][0], no: byCause[c.id][0][1] } })) }])),
  ...Object.fromEntries(of.questions.map(({ id, fact, answers }) => [id, { id, states: ['yes', 'no'], parents: [fact], cpt: [0, 1].map((s) => ({ when: { [fact]: ['yes', 'no'][s] }, then: { yes: answers[0].given[s], no: answers[1].given[s] } })) }])),
});

const timed = (times, work) => {
  const all = [];
  for (let i = 0; i < times; i++) {
    const from = performance.now();
    work();
    all.push(performance.now() - from);
  }
  return median(all);
};

/** Four questionnaires for every complaint. */
const round = () => {
  const figures = { steps: [], work: [], verdicts: [], whole: [] };
  for (const [i, { id }] of model.symptoms.entries())
    for (let seed = 0; seed < 4; seed++) {
      const before = process.cpuUsage();
      walk(id, chooser(1000 * i + seed + 1), figures);
      figures.whole.push(processor(before));
    }
  return figures;
};

export const benchAsk = async () => {
  // The first questions of a process meet code not yet compiled by the machine underneath: told apart, not left out.
  const fresh = round();
  const { steps, work, verdicts, whole } = round();
  const of = small();
  const readings = of.questions.slice(0, 4).map(({ id }, i) => ({ kind: 'answer', question: id, answer: i % 2 === 0 ? 'yes' : 'no' }));
  const evidence = Object.fromEntries(readings.map(({ question, answer }) => [question, answer]));
  const net = network(of);
  const ours = chances(believe(compile(of, 's'), { symptom: 's', readings, records: [] }));
  const theirs = of.causes.map(({ id }) => inferences.variableElimination.infer(net, { cause: id }, evidence));
  const apart = Math.max(...theirs.map((chance, c) => Math.abs(chance - ours[c])));
  if (apart > 1e-9) throw new Error(`the two posteriors are ${apart} apart`);
  const mine = timed(200, () => chances(believe(compile(of, 's'), { symptom: 's', readings, records: [] })));
  const library = timed(20, () => of.causes.map(({ id }) => inferences.variableElimination.infer(net, { cause: id }, evidence)));
  return [
    { what: `next question, ${model.causes.length} causes in the catalogue, 99th percentile`, value: percentile(steps, 0.99), unit: 'ms', goal: 5 },
    { what: 'next question, processor time, 99th percentile', value: percentile(work, 0.99), unit: 'ms' },
    { what: 'next question, the first few hundred of a new process, 99th percentile', value: percentile(fresh.steps, 0.99), unit: 'ms', goal: 5 },
    { what: 'the same, processor time', value: percentile(fresh.work, 0.99), unit: 'ms' },
    { what: 'next question, median', value: median(steps), unit: 'ms', goal: 5 },
    { what: 'verdict with the fee that turns it, median', value: median(verdicts), unit: 'ms' },
    { what: 'a whole questionnaire, processor time, median', value: median(whole), unit: 'ms' },
    { what: 'posterior of a small network, against a general library', ratio: mine / library, most: 1 },
  ];
};
