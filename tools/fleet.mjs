// A simulated fleet: `node tools/fleet.mjs [faults] [seed]` after a build. What advice costs, fees, work, lost trade and harm counted, beside
// always calling, always trying first, and knowing the cause; before and after learning from technicians' findings.
// Faults are drawn from other chances than the catalogue's, answers from its facts: it shows how the reckoning decides and learns.
import { join } from 'node:path';
import { barOf } from '../dist/faults/bar.js';
import { bench } from '../dist/faults/bench.js';
import { modelFor } from '../dist/faults/catalogue-model.js';
import { readCatalogue } from '../dist/faults/catalogue-read.js';
import { LABEL_ERROR, learn, withLearned } from '../dist/faults/learn.js';
import { nextMove } from '../dist/faults/next-question.js';
import { MEANWHILE } from '../dist/faults/programme.js';
import { endCost, jobCost, ratesOf } from '../dist/faults/rates.js';
import { levelOf } from '../dist/faults/safety.js';
import { ONE_GONE_SEEMS_BETTER, SEEMS_BETTER } from '../dist/faults/tries.js';

const [count = 2000, seed = 1] = process.argv.slice(2).map(Number);
/** Invented, as is what harm costs: only proportions matter. */
const MONEY = { callFee: 120, staffAnHour: 15, margin: 1.8 };
const HARM = { people: 2000, machine: 400 };
/** Complaints that learn, findings each, and the most faults waited for until a technician has found so many. */
const [AREAS, FINDINGS, MOST_FAULTS] = [10, 20, 300];
/** How far the true chances lie from the catalogue's: standard deviation of the log of a weight and of the log-odds of a cure. */
const APART = 0.8;

const elicited = modelFor(readCatalogue(join('config', 'faults')), barOf({ kind: 'HX', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' }));
const SITUATION = { groups: 2, capacity: 45, trade: [0, 1140, 2580, 4020].map((startsIn, day) => ({ startsIn, minutes: day === 0 ? 300 : 600, coffeesAnHour: 22 })), machine: 'hot', coldSlots: [1035, 2475].map((startsIn) => ({ startsIn, minutes: 60 })), technicianIn: 1440, otherTradeIn: 480, outOfHours: false, money: MONEY, trained: true, barredJobs: [] };
const causes = new Map(elicited.causes.map((each) => [each.id, each]));
const questions = new Map(elicited.questions.map((each) => [each.id, each]));
const facts = new Map(elicited.facts.map((each) => [each.id, each]));

/** The same number for the same words: what happens to a fault does not hang on the order in which it is asked about. */
const luck = (...words) => {
  let h = 2166136261 ^ seed;
  for (const letter of words.join('|')) h = Math.imul(h ^ letter.charCodeAt(0), 16777619);
  h = Math.imul(h ^ (h >>> 16), 2246822507);
  h = Math.imul(h ^ (h >>> 13), 3266489909);
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
};
const draw = (weights, chance) => {
  let left = chance * weights.reduce((a, b) => a + b, 0);
  return Math.max(0, weights.findIndex((weight) => (left -= weight) < 0));
};
const normal = (...words) => Math.sqrt(-2 * Math.log(1 - luck(...words, 'r'))) * Math.cos(2 * Math.PI * luck(...words, 'a'));

const truth = withLearned(elicited, {
  weights: Object.fromEntries(elicited.symptoms.map(({ id, causes: all }) => [id, Object.fromEntries(all.map(({ cause, weight }) => [cause, weight * Math.exp(APART * normal('weight', id, cause))]))])),
  cures: Object.fromEntries(elicited.jobs.map(({ id, cures }) => [id, Object.fromEntries(Object.entries(cures).map(([cause, chance]) => {
    if (chance <= 0 || chance >= 1) return [cause, chance];
    const odds = (chance / (1 - chance)) * Math.exp(APART * normal('cure', id, cause));
    return [cause, odds / (1 + odds)];
  }))])),
  cases: 0,
});
const jobs = new Map(truth.jobs.map((each) => [each.id, each]));
const areas = truth.symptoms.filter(({ immediate }) => immediate === 'none').toSorted((a, b) => luck('area', a.id) - luck('area', b.id)).slice(0, AREAS);

const later = (situation, by) => ({
  ...situation,
  trade: situation.trade.map((hour) => ({ ...hour, startsIn: Math.max(0, hour.startsIn - by), minutes: Math.min(hour.minutes, hour.minutes + hour.startsIn - by) })).filter(({ minutes }) => minutes > 0),
  coldSlots: situation.coldSlots.map((slot) => ({ ...slot, startsIn: slot.startsIn - by })).filter(({ startsIn }) => startsIn >= 0),
});

/** One fault: its cause, what is seen of it, and what each job does to it, the same for every policy. */
const faultOf = (key, symptom) => {
  const cause = causes.get(symptom.causes[draw(symptom.causes.map(({ weight }) => weight), luck(key, 'cause'))].cause);
  const there = new Set(cause.parts.length > 0 ? cause.parts : [cause.id]);
  const known = new Map();
  const see = (id) => {
    if (!known.has(id)) {
      const fact = facts.get(id);
      const rows = fact.byCause[cause.id] ?? fact.byCause[cause.parts.find((part) => fact.byCause[part])] ?? fact.usual;
      known.set(id, draw(rows[fact.parent === null ? 0 : see(fact.parent)], luck(key, 'fact', id)));
    }
    return known.get(id);
  };
  const answer = ({ id, fact, answers, unsure }) => (luck(key, 'unsure', id) < unsure ? undefined : answers[draw(answers.map(({ given }) => given[see(fact)]), luck(key, 'answer', id))]);
  const attempt = (job) => {
    const gone = [...there].filter((part) => luck(key, 'job', job.id, part) < (jobs.get(job.id).cures[part] ?? 0));
    for (const part of gone) there.delete(part);
    if (there.size === 0) return 'cured';
    return luck(key, 'better', job.id) < (gone.length > 0 ? ONE_GONE_SEEMS_BETTER : SEEMS_BETTER) ? 'better' : 'same';
  };
  const left = () => (there.size === 1 ? causes.get([...there][0]) : cause);
  return { symptom, cause, answer, attempt, left, healed: () => there.size === 0 };
};

const tally = () => ({ cost: 0, harm: 0, harms: 0, visit: 0, stops: 0, questions: 0 });
/** A job done under a cause that makes it unsafe, and use that goes on under a cause that should stop it. */
const hurt = (sum, cause) => {
  sum.harms = 1;
  sum.harm += HARM[cause.harm] ?? HARM.machine;
};
const doJob = (sum, fault, job, situation) => {
  sum.cost += jobCost({ job }, ratesOf(situation));
  if (job.unsafeUnder.includes(fault.left().id)) hurt(sum, fault.left());
  return fault.attempt(job);
};
const finish = (sum, fault, kind, level, situation, fee = 0) => {
  const cause = fault.left();
  sum.cost += endCost(kind, cause, 0, level, ratesOf(situation)) + fee;
  if (level >= 2) sum.stops = 1;
  if (levelOf(cause.danger) > level) hurt(sum, cause);
  if (kind === 'book' || (cause.fixer !== 'nobody' && cause.fixer !== 'other-trade')) sum.visit = 1;
  return sum;
};

/** Follows the advice of a model; what it came to, and the case as it would be stored. */
const follow = (model, fault) => {
  const [sum, readings] = [tally(), []];
  let situation = SITUATION;
  let booked = null;
  const over = () => ({ sum, readings });
  for (let step = 0; step < 80; step++) {
    const laid = bench(model, situation, { symptom: fault.symptom.id, readings, records: [] });
    const move = nextMove(laid);
    if (move.kind === 'ask') {
      const question = questions.get(move.question);
      sum.questions++;
      sum.cost += question.cost + (question.minutes / 60) * MONEY.staffAnHour;
      const answer = fault.answer(question);
      readings.push(answer ? { kind: 'answer', question: question.id, answer: answer.id } : { kind: 'unsure', question: question.id });
      continue;
    }
    const [{ steps: [next], end, bookedFirst }] = move.options;
    const due = booked === null ? SITUATION.technicianIn : Math.max(0, booked);
    const at = { ...situation, technicianIn: due };
    if (next === undefined) return finish(sum, fault, booked === null ? end.kind : 'book', MEANWHILE.indexOf(end.meanwhile), at), over();
    if (bookedFirst) booked ??= SITUATION.technicianIn;
    const level = MEANWHILE.indexOf(next.meanwhile ?? 'go-on');
    if (next.slot !== null) {
      const { startsIn, minutes } = situation.coldSlots[next.slot];
      sum.cost += ratesOf(situation).wait(0, startsIn, fault.left(), level);
      situation = later(situation, startsIn + minutes);
      if (booked !== null) booked -= startsIn + minutes;
    }
    // Jobs of one cool-down are done together and seen afterwards; one at once is seen at once.
    const results = next.jobs.map((id) => [id, fault.healed() ? 'cured' : doJob(sum, fault, jobs.get(id), { ...situation, trade: next.slot === null ? situation.trade : [] })]);
    if (fault.healed()) {
      readings.push(...results.filter(([, result]) => result === 'cured').slice(0, 1).map(([job, result]) => ({ kind: 'tried', job, result })));
      if (booked !== null) sum.cost += 20;
      return over();
    }
    readings.push(...results.map(([job, result]) => ({ kind: 'tried', job, result })));
  }
  return finish(sum, fault, 'book', 0, situation), over();
};

/** Calls at once; how the machine is used until then is what is cheapest on the catalogue's chances. */
const callAtOnce = (fault) => {
  const of = elicited.symptoms.find(({ id }) => id === fault.symptom.id).causes;
  const expected = (level) => of.reduce((all, { cause, weight }) => all + weight * endCost('book', causes.get(cause), 0, level, ratesOf(SITUATION)), 0);
  const level = [0, 1].toSorted((a, b) => expected(a) - expected(b))[0];
  return finish(tally(), fault, 'book', level, SITUATION);
};

/** Every job that can help, most chance for its cost first, the cold ones in the next cool-down; then a call. Nothing is asked. */
const tryFirst = (fault) => {
  const sum = tally();
  const { causes: of } = elicited.symptoms.find(({ id }) => id === fault.symptom.id);
  const worth = (job) => of.reduce((all, { cause, weight }) => all + weight * (job.cures[cause] ?? 0), 0) / (jobCost({ job }, ratesOf(SITUATION)) + 0.1);
  const useful = elicited.jobs.filter((job) => worth(job) > 0).toSorted((a, b) => worth(b) - worth(a));
  for (const job of useful.filter(({ machine }) => machine !== 'cold')) if (doJob(sum, fault, job, SITUATION) === 'cured') return sum;
  const cold = useful.filter(({ machine }) => machine === 'cold');
  if (cold.length === 0) return finish(sum, fault, 'book', 0, SITUATION);
  const [{ startsIn, minutes }] = SITUATION.coldSlots;
  sum.cost += ratesOf(SITUATION).wait(0, startsIn, fault.left(), 0);
  const situation = later(SITUATION, startsIn + minutes);
  for (const job of cold) if (doJob(sum, fault, job, { ...situation, trade: [] }) === 'cured') return sum;
  return finish(sum, fault, 'book', 0, situation);
};

/** What the best plan costs on average for someone who knows the cause and the true cure chances. */
const knowing = (fault) => {
  const only = { ...truth, symptoms: [{ ...fault.symptom, causes: fault.symptom.causes.map((each) => ({ ...each, weight: each.cause === fault.cause.id ? 1 : 0 })) }] };
  const key = `${fault.symptom.id} ${fault.cause.id}`;
  if (!known.has(key)) {
    const laid = bench(only, SITUATION, { symptom: fault.symptom.id, readings: [], records: [] });
    const allowed = laid.jobs.reduce((set, { job }, j) => (job.unsafeUnder.includes(fault.cause.id) ? set : set | (1 << j)), 0);
    known.set(key, laid.solver.value(laid.chance, { level: levelOf(fault.cause.danger), jobs: allowed, layer: 0 }));
  }
  return { ...tally(), cost: known.get(key) };
};
const known = new Map();

const closed = [];
const found = new Map();
for (const symptom of areas)
  for (let i = 0; i < MOST_FAULTS && (found.get(symptom.id) ?? 0) < FINDINGS; i++) {
    const fault = faultOf(`learn ${i} ${symptom.id}`, symptom);
    const { sum, readings } = follow(elicited, fault);
    const wrong = luck('label', i, symptom.id) < LABEL_ERROR;
    const named = wrong ? symptom.causes[Math.floor(luck('other', i, symptom.id) * symptom.causes.length)].cause : fault.left().id;
    if (sum.visit === 1) found.set(symptom.id, (found.get(symptom.id) ?? 0) + 1);
    closed.push({ case: { symptom: symptom.id, readings, records: [] }, found: sum.visit === 1 ? named : null });
  }
const learned = withLearned(elicited, learn(elicited, closed));

const POLICIES = {
  'as advised, before learning': (fault) => follow(elicited, fault).sum,
  'as advised, after learning': (fault) => follow(learned, fault).sum,
  'as advised, knowing the true chances': (fault) => follow(truth, fault).sum,
  'always call': callAtOnce,
  'always try first': tryFirst,
  'knowing the cause': knowing,
};
const sums = Object.fromEntries(Object.keys(POLICIES).map((name) => [name, tally()]));
const gains = [];
/** Where none of the three ways of advising stopped the machine: a stop is a rule, not a reckoning. */
const running = [];
for (let i = 0; i < count; i++) {
  const symptom = areas[i % areas.length];
  const paid = Object.entries(POLICIES).map(([name, policy]) => {
    const one = policy(faultOf(`fault ${i}`, symptom));
    for (const key of Object.keys(one)) sums[name][key] += one[key];
    return { paid: one.cost + one.harm, stops: one.stops };
  });
  gains.push(paid[0].paid - paid[1].paid);
  if (!paid.slice(0, 3).some(({ stops }) => stops > 0)) running.push(paid.slice(0, 3).map((each) => each.paid));
}
const mean = (of) => of.reduce((a, b) => a + b, 0) / of.length;
const error = Math.sqrt(mean(gains.map((gain) => (gain - mean(gains)) ** 2)) / count);
console.log(`${count} faults, seed ${seed}; learned from ${closed.length} cases, ${[...found.values()].reduce((a, b) => a + b, 0)} of them found by a technician (${[...found.values()].join(', ')})\n`);
console.log('| policy | fees, work and lost trade a fault | harm a fault | both | unsafe in 1,000 | with a visit | machine stopped | questions |\n|---|---|---|---|---|---|---|---|');
for (const [name, { cost, harm, harms, visit, stops, questions: asked }] of Object.entries(sums))
  console.log(`| ${name} | ${(cost / count).toFixed(1)} | ${(harm / count).toFixed(1)} | ${((cost + harm) / count).toFixed(1)} | ${((1000 * harms) / count).toFixed(1)} | ${name === 'knowing the cause' ? 'not counted' : `${((100 * visit) / count).toFixed(1)} %`} | ${((100 * stops) / count).toFixed(1)} % | ${(asked / count).toFixed(1)} |`);
const [before, after, chances] = Object.values(sums).map(({ cost, harm }) => (cost + harm) / count);
console.log(`\nlearning saves ${mean(gains).toFixed(2)} a fault (standard error ${error.toFixed(2)}); gap to knowing the chances ${(before - chances).toFixed(2)} before, ${(after - chances).toFixed(2)} after`);
console.log(`the ${running.length} faults in which no advice stopped the machine: ${[0, 1, 2].map((way) => mean(running.map((each) => each[way])).toFixed(2)).join(', ')} (before learning, after, knowing the chances)`);
