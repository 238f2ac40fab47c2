import { absorb, answerChances } from './belief.ts';
import type { Bench } from './bench.ts';
import { askingCost } from './bench.ts';
import { at } from './compiled.ts';
import type { Limits } from './plan.ts';
import type { Level } from './programme.ts';
import { weighed } from './programme.ts';
import { chanceLevel, dangerChance, foundDanger, limitsFor, RISK } from './safety.ts';
import { reckonedMoney } from './waiting.ts';

/** How wide the search looks: first questions taken two steps ahead, second questions tried after each answer. */
export type Breadth = { readonly first: number; readonly again: number; readonly second: number };
export const BREADTH: Breadth = { first: 4, again: 6, second: 6 };

export type NextQuestion = {
  readonly question: string;
  readonly because: 'danger' | 'saving';
  /** Money saved on average by asking it, its own cost taken off; 0 for a danger, which is asked whatever it saves. */
  readonly saving: number;
};

/** One question seen from one belief. */
type Candidate = {
  readonly index: number;
  readonly cost: number;
  readonly unsure: number;
  /** Chance of each answer under each cause, for someone who answers. */
  readonly answers: readonly Float64Array[];
  readonly tree: number;
};

const treeOf = ({ compiled }: Bench, fact: number): number => {
  let root = fact;
  while (at(compiled.facts, root).parent >= 0) root = at(compiled.facts, root).parent;
  return root;
};

const candidates = (bench: Bench): readonly Candidate[] =>
  bench.askable.map((index) => {
    const { question, fact } = at(bench.compiled.questions, index);
    return {
      index,
      cost: askingCost(bench, index),
      unsure: question.unsure,
      answers: answerChances(bench.compiled, bench.belief, index),
      tree: treeOf(bench, fact),
    };
  });

/**
 * What the best plan costs from a belief, for weighing questions. An answer that brings a danger to light must not look
 * like a loss, so it is charged by the rules that hold already, and what it finds is paid for: at the limit of risk a
 * danger found is worth a call.
 */
type Worth = {
  readonly of: (mass: Float64Array) => number;
  /** No plan costs less than this: what it would cost if the cause were known. */
  readonly least: (mass: Float64Array) => number;
};

const worthFrom = (bench: Bench, root: Limits): Worth => {
  const { compiled, unsafe, solver, open } = bench;
  const call = reckonedMoney(bench.situation.money).callFee;
  const known = compiled.causes.map((_, c) => {
    const only = new Float64Array(compiled.causes.length);
    only[c] = 1;
    return solver.value(only, root);
  });
  const knownCosts = Float64Array.from(known);
  const of = (mass: Float64Array): number => {
    const own = limitsFor(compiled, unsafe, mass, 0, open.length > 0);
    const level = Math.min(own.level, root.level) as Level;
    const value = solver.value(mass, { level, jobs: own.jobs | root.jobs });
    return own.level > root.level ? value - call * foundDanger(compiled, mass, own.level) : value;
  };
  const least = (mass: Float64Array): number => weighed(mass, knownCosts) - call * foundDanger(compiled, mass, 1);
  return { of, least };
};

const times = (a: Float64Array, b: Float64Array): Float64Array => {
  const out = new Float64Array(a.length);
  for (let i = 0; i < a.length; i += 1) out[i] = a[i]! * b[i]!;
  return out;
};

const sum = (mass: Float64Array): number => {
  let total = 0;
  for (let i = 0; i < mass.length; i += 1) total += mass[i]!;
  return total;
};

/** Expected cost after asking one question, that question's cost included, and then deciding. */
const askOnce = (worth: Worth, mass: Float64Array, now: number, { cost, unsure, answers }: Candidate): number => {
  const answered = answers.reduce((total, answer) => total + worth.of(times(mass, answer)), 0);
  return cost * sum(mass) + (1 - unsure) * answered + unsure * now;
};

type Look = { readonly candidate: Candidate; readonly after: number };

const byCost = (looks: readonly Look[]): readonly Look[] => [...looks].sort((a, b) => a.after - b.after);

/** The same question seen after an answer to another one; only questions of one tree of facts see each other. */
const seenAfter = (bench: Bench, first: Candidate, answer: number, second: Candidate): Candidate => {
  if (first.tree !== second.tree) return second;
  const { fact, given } = at(bench.compiled.questions, first.index);
  const belief = absorb(bench.compiled, bench.belief, fact, at(given, answer));
  return { ...second, answers: answerChances(bench.compiled, belief, second.index) };
};

/** Least cost after one answer: deciding, or asking one more question first. */
const bestAfter = (
  bench: Bench,
  worth: Worth,
  mass: Float64Array,
  seconds: readonly ((answer: number) => Candidate)[],
  answer: number,
): number => {
  const now = worth.of(mass);
  const spare = now - worth.least(mass);
  const total = sum(mass);
  let best = now;
  for (const second of seconds) {
    const candidate = second(answer);
    if (candidate.cost * total >= spare) continue;
    best = Math.min(best, askOnce(worth, mass, now, candidate));
  }
  return best;
};

const askTwice = (
  bench: Bench,
  worth: Worth,
  mass: Float64Array,
  now: number,
  first: Candidate,
  looks: readonly Look[],
  breadth: number,
): number => {
  const others = looks.filter(({ candidate }) => candidate.index !== first.index).slice(0, breadth);
  const seconds = others.map(
    ({ candidate }) =>
      (answer: number) =>
        seenAfter(bench, first, answer, candidate),
  );
  const answered = first.answers.reduce(
    (total, chance, a) => total + bestAfter(bench, worth, times(mass, chance), seconds, a),
    0,
  );
  const ifUnsure = Math.min(now, others[0]?.after ?? Infinity);
  return first.cost * sum(mass) + (1 - first.unsure) * answered + first.unsure * ifUnsure;
};

/** Cost of doing the plan's first job now and asking only if it fails: a cheap try often saves the question. */
const tryFirst = (bench: Bench, worth: Worth, mass: Float64Array, looks: readonly Look[]): number => {
  const { best } = bench.solver.plan(mass, bench.limits);
  const [step] = best.steps;
  if (step === undefined || step.slot !== null || best.bookedFirst) return Infinity;
  const { programme } = bench.solver;
  const job = programme.jobs.findIndex(({ id }) => id === step.jobs[0]);
  const failed = mass.map((m, c) => m * programme.left(c, 1 << job));
  const without: Bench = { ...bench, limits: { level: bench.limits.level, jobs: bench.limits.jobs & ~(1 << job) } };
  const after = worthWithout(worth, without);
  const now = after.of(failed);
  const asked = looks.map(({ candidate }) => askOnce(after, failed, now, candidate));
  return at(programme.jobs, job).cost * sum(mass) + Math.min(now, ...asked);
};

const worthWithout = (worth: Worth, bench: Bench): Worth => ({
  least: worth.least,
  of: (mass) => bench.solver.value(mass, bench.limits),
});

const bestLook = (looks: readonly Look[]): Look | null => byCost(looks)[0] ?? null;

/** The question that saves most, two steps ahead, or null when asking no longer pays. */
const saving = (bench: Bench, breadth: Breadth): NextQuestion | null => {
  const mass = bench.chance;
  const worth = worthFrom(bench, bench.limits);
  const now = worth.of(mass);
  const spare = now - worth.least(mass);
  const worthAsking = candidates(bench).filter(({ cost }) => cost < spare);
  const looks = byCost(worthAsking.map((candidate) => ({ candidate, after: askOnce(worth, mass, now, candidate) })));
  const ahead = ({ candidate }: Look): Look => ({
    candidate,
    after: askTwice(bench, worth, mass, now, candidate, looks, breadth.second),
  });
  let best = bestLook(looks.slice(0, breadth.first).map(ahead));
  if (best !== null && !(best.after < now)) best = bestLook(looks.slice(breadth.first, breadth.again).map(ahead));
  if (best === null || !(best.after < now - 1e-9)) return null;
  if (tryFirst(bench, worth, mass, looks.slice(0, breadth.second)) < best.after) return null;
  const { question } = at(bench.compiled.questions, best.candidate.index);
  return { question: question.id, because: 'saving', saving: now - best.after };
};

const dangerQuestion = (bench: Bench): NextQuestion | null => {
  const index = bench.open.find((q) => bench.askable.includes(q));
  if (index === undefined) return null;
  return { question: at(bench.compiled.questions, index).question.id, because: 'danger', saving: 0 };
};

/** Caution that comes before any question: the complaint itself, an answer given, or a danger too likely to wait. */
const mustActFirst = ({ compiled, caution, chance }: Bench): boolean => {
  if (caution.level < 2) return false;
  if (caution.because.some(({ kind }) => kind !== 'chance')) return true;
  return dangerChance(compiled, chance, 2) > RISK.beforeAsking;
};

/** What to ask next, or null when it is time to decide. Dangers come first, and none is left out for its cost. */
export const nextQuestion = (bench: Bench, breadth: Breadth = BREADTH): NextQuestion | null => {
  if (mustActFirst(bench)) return null;
  const danger = dangerQuestion(bench);
  if (danger !== null) return danger;
  if (chanceLevel(bench.compiled, bench.chance) >= 2) return null;
  return saving(bench, breadth);
};
