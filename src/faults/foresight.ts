import type { Candidate, Worth } from './asking.ts';
import { askOnce, cheapestFirst, product, seenFrom } from './asking.ts';
import type { Belief } from './belief.ts';
import type { Bench } from './bench.ts';
import { at } from './compiled.ts';
import type { Option, Step } from './moves.ts';
import type { Plan, Solver } from './plan.ts';
import type { Level } from './programme.ts';
import { weighed } from './programme.ts';
import { foundDanger, limitsFor } from './safety.ts';
import { afterTry, together } from './tries.ts';
import { reckonedMoney } from './waiting.ts';

/** What the best plan costs from a mass over causes: exactly, or from the plans found so far. */
export type Worths = { readonly exact: Worth; readonly quick: Worth };

/** What is done already when costs are asked for: a set of jobs, and the cool-downs used. */
type Done = { readonly jobs: number; readonly layer: number };
const NOTHING_DONE: Done = { jobs: 0, layer: 0 };

/**
 * What the best plan costs from a belief, for weighing questions. An answer that brings a danger to light must not look
 * like a loss, so it is charged by the rules that hold already, and what it finds is paid for: at the limit of risk a
 * danger found is worth a call. Found only after a job was tried it is worth nothing: it should have been looked for.
 */
export const worthsOf = (bench: Bench, done: Done = NOTHING_DONE): Worths => {
  const { compiled, unsafe, solver, open, limits: root } = bench;
  const call = done.jobs === 0 ? reckonedMoney(bench.situation.money).callFee : 0;
  const by = (cost: Solver['value']): Worth => (mass) => {
    const own = limitsFor(compiled, unsafe, mass, 0, open.length > 0);
    const level = Math.min(own.level, root.level) as Level;
    const value = cost(mass, { level, jobs: (own.jobs | root.jobs) & ~done.jobs, layer: done.layer });
    return own.level > root.level ? value - call * foundDanger(compiled, mass, own.level) : value;
  };
  return { exact: by(solver.value), quick: by(solver.estimate) };
};

/** Chances below this are left out where only a good guess is wanted. */
const HARDLY = 1e-3;

/**
 * No plan costs less than this: what it would cost if the cause were known at once, causes that are hardly possible left
 * out. The plans found on the way serve for estimates.
 */
export const leastBy = ({ compiled, solver, limits, chance, situation, unsafe, open }: Bench): Worth => {
  const call = reckonedMoney(situation.money).callFee;
  const costs = Float64Array.from(compiled.causes, (_, c) => {
    if (at(chance, c) <= HARDLY) return 0;
    const only = new Float64Array(compiled.causes.length);
    only[c] = 1;
    const own = limitsFor(compiled, unsafe, only, 0, open.length > 0);
    return solver.value(only, { level: Math.min(own.level, limits.level) as Level, jobs: own.jobs | limits.jobs, layer: 0 });
  });
  return (mass) => weighed(mass, costs) - call * foundDanger(compiled, mass, 1);
};

const setOf = ({ jobs }: Bench, step: Step): number =>
  jobs.reduce((set, { job }, j) => (step.jobs.includes(job.id) ? set | (1 << j) : set), 0);

/** Beliefs after a step that did not end it, with the chance of each in their mass. */
const afterFailing = (bench: Bench, step: Step): readonly Belief[] => {
  const { compiled, belief, chance, solver } = bench;
  const [only] = step.jobs;
  const paired = compiled.pairs.some((pair, c) => pair !== null && at(chance, c) > HARDLY);
  if (step.slot === null && only !== undefined && paired) {
    const now: Belief = { mass: chance, rows: belief.rows };
    return (['better', 'same'] as const).map((result) => together(afterTry(compiled, now, only, result)));
  }
  const { left: table, jobs } = solver.programme;
  const left = chance.map((_, c) => at(table, (c << jobs.length) | setOf(bench, step)));
  return [{ mass: product(chance, left), rows: belief.rows }];
};

/** How many of the questions that could follow a failed step are costed exactly. */
const ASKED_EXACTLY = 2;

/** An option costed with the questions that can still be asked when its first step has failed. */
const lookedThrough = (bench: Bench, option: Option, questions: readonly Candidate[]): Option => {
  const [step] = option.steps;
  if (step === undefined || option.bookedFirst) return option;
  const { exact, quick } = worthsOf(bench, { jobs: setOf(bench, step), layer: step.slot === null ? 0 : step.slot + 1 });
  const later = afterFailing(bench, step).map((belief) => {
    const now = exact(belief.mass);
    const moved = belief.rows !== bench.belief.rows;
    const seen = questions.map((it) => (moved ? seenFrom(bench.compiled, belief, it) : it));
    const guessed = cheapestFirst(seen.map((it) => ({ candidate: it, after: askOnce(quick, belief.mass, now, it) })));
    const likely = guessed.slice(0, ASKED_EXACTLY).map(({ candidate }) => askOnce(exact, belief.mass, now, candidate));
    return Math.min(now, ...likely);
  });
  const cost = bench.solver.stepCost(bench.chance, bench.limits, step) + later.reduce((a, b) => a + b, 0);
  return cost < option.cost ? { ...option, cost } : option;
};

/** An option cannot cost less than this: its first step, and then knowing the cause. */
const lowest = (bench: Bench, { steps: [step] }: Option, least: Worth): number => {
  if (step === undefined) return 0;
  const after = afterFailing(bench, step).reduce((sum, { mass }) => sum + least(mass), 0);
  return bench.solver.stepCost(bench.chance, bench.limits, step) + after;
};

/** How many of the cheapest options are looked through. */
const OPTIONS_LOOKED_THROUGH = 2;

/**
 * The options of the plan, cheapest first, the best ones costed with the questions that remain after their first step: a
 * cheap try often saves the asking, and a plan that may still ask is cheaper than one that may not. What cannot come
 * below `beat` (the cost of asking at once) is not looked through.
 */
export const optionsAhead = (
  bench: Bench,
  { options }: Plan,
  questions: readonly Candidate[],
  least: Worth,
  beat: number,
): readonly Option[] => {
  const tries = options.filter(({ steps, bookedFirst }) => steps.length > 0 && !bookedFirst);
  const target = Math.min(beat, at(options, 0).cost);
  const worthIt = tries.slice(0, OPTIONS_LOOKED_THROUGH).filter((option) => lowest(bench, option, least) < target);
  const looked = new Set(worthIt);
  const all = options.map((option) => (looked.has(option) ? lookedThrough(bench, option, questions) : option));
  return all.sort((a, b) => a.cost - b.cost);
};
