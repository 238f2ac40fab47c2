// A simulated fleet: what advice costs against always calling, always trying, and knowing the cause. `node tools/fleet.mjs 2000 1` after a build.
// Faults and answers are drawn from the catalogue's own chances: this shows how the reckoning decides, not whether the chances are true.
import { join } from 'node:path';
import { barOf } from '../dist/faults/bar.js';
import { modelFor } from '../dist/faults/catalogue-model.js';
import { readCatalogue } from '../dist/faults/catalogue-read.js';
import { next } from '../dist/faults/verdict.js';

const [count = 2000, seed = 1] = process.argv.slice(2).map(Number);
const MONEY = { callFee: 120, staffAnHour: 15, margin: 1.8 };
const model = modelFor(readCatalogue(join('config', 'faults')), barOf({ kind: 'HX', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' }));
const situation = { groups: 2, capacity: 45, trade: [{ startsIn: 0, minutes: 300, coffeesAnHour: 22 }, { startsIn: 1140, minutes: 600, coffeesAnHour: 22 }], machine: 'hot', coldSlots: [{ startsIn: 1035, minutes: 60 }], technicianIn: 1440, otherTradeIn: 480, outOfHours: false, money: MONEY, trained: true, barredJobs: [] };
const causes = new Map(model.causes.map((each) => [each.id, each]));
const jobs = new Map(model.jobs.map((each) => [each.id, each]));
let state = seed;
const random = () => (state = (state * 1103515245 + 12345) % 2147483648) / 2147483648;
const draw = (weights) => {
  let left = random() * weights.reduce((a, b) => a + b, 0);
  return Math.max(0, weights.findIndex((weight) => (left -= weight) < 0));
};
const staff = (minutes) => (minutes / 60) * MONEY.staffAnHour;
const cureOf = (job, cause) => (cause.parts.length > 0 ? 0 : (job.cures[cause.id] ?? 0));

const factsFor = (cause) => {
  const known = new Map();
  const see = (id) => {
    if (known.has(id)) return known.get(id);
    const fact = model.facts.find((each) => each.id === id);
    const rows = fact.byCause[cause.id] ?? fact.byCause[cause.parts.find((part) => fact.byCause[part])] ?? fact.usual;
    const seen = draw(rows[fact.parent === null ? 0 : see(fact.parent)] ?? rows[0]);
    known.set(id, seen);
    return seen;
  };
  return see;
};

const advised = (symptom, cause, works) => {
  const see = factsFor(cause);
  const readings = [];
  let cost = 0;
  for (let step = 0; step < 60; step++) {
    const found = next(model, situation, { symptom: symptom.id, readings, records: [] });
    if (found.kind === 'ask') {
      const question = model.questions.find(({ id }) => id === found.question);
      cost += staff(question.minutes) + question.cost;
      const answer = random() < question.unsure ? undefined : question.answers[draw(question.answers.map(({ given }) => given[see(question.fact)]))];
      readings.push(answer ? { kind: 'answer', question: question.id, answer: answer.id } : { kind: 'unsure', question: question.id });
      continue;
    }
    const { kind, choice } = found.verdict;
    if (kind !== 'bar-job' && kind !== 'leave-group-out') return kind === 'nothing-wrong' ? { cost: cost + (cause.fixer === 'nobody' ? 0 : MONEY.callFee), calls: cause.fixer === 'nobody' ? 0 : 1 } : { cost: cost + MONEY.callFee, calls: 1 };
    for (const id of choice.steps[0].jobs) {
      const job = jobs.get(id);
      cost += staff(job.minutes) + job.parts;
      if (works(job)) return { cost, calls: 0 };
      readings.push({ kind: 'tried', job: id, result: 'same' });
    }
  }
  return { cost: cost + MONEY.callFee, calls: 1 };
};

const total = { advised: 0, call: 0, trying: 0, knowing: 0, calls: 0, tryCalls: 0, knowCalls: 0 };
const symptoms = model.symptoms.filter(({ immediate }) => immediate === 'none');
for (let i = 0; i < count; i++) {
  const symptom = symptoms[Math.floor(random() * symptoms.length)];
  const cause = causes.get(symptom.causes[draw(symptom.causes.map(({ weight }) => weight))].cause);
  // One draw a job, the same under every policy.
  const luck = new Map();
  const works = (job) => {
    if (!luck.has(job.id)) luck.set(job.id, random() < cureOf(job, cause));
    return luck.get(job.id);
  };
  const mine = advised(symptom, cause, works);
  total.advised += mine.cost;
  total.calls += mine.calls;
  total.call += MONEY.callFee;
  const worth = (job) => symptom.causes.reduce((sum, { cause: id, weight }) => sum + weight * (job.cures[id] ?? 0), 0) / (staff(job.minutes) + job.parts + 0.1);
  const best = [...jobs.values()].filter((job) => worth(job) > 0).sort((a, b) => worth(b) - worth(a));
  let tried = 0;
  const cured = best.some((job) => ((tried += staff(job.minutes) + job.parts), works(job)));
  total.trying += tried + (cured ? 0 : MONEY.callFee);
  total.tryCalls += cured ? 0 : 1;
  const [right] = [...jobs.values()].filter((job) => cureOf(job, cause) > 0.3).sort((a, b) => staff(a.minutes) + a.parts - staff(b.minutes) - b.parts);
  const known = right ? staff(right.minutes) + right.parts : 0;
  const done = cause.fixer === 'nobody' || (right !== undefined && works(right));
  total.knowing += known + (done ? 0 : MONEY.callFee);
  total.knowCalls += done ? 0 : 1;
}
const row = (name, cost, calls) => console.log(`| ${name} | ${(cost / count).toFixed(1)} | ${((100 * calls) / count).toFixed(1)} % |`);
console.log('| policy | money a fault | ended with a visit |\n|---|---|---|');
row('as advised', total.advised, total.calls);
row('always call', total.call, count);
row('always try everything first', total.trying, total.tryCalls);
row('knowing the cause', total.knowing, total.knowCalls);
