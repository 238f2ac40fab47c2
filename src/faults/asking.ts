import type { Belief } from './belief.ts';
import { absorb, answerChances } from './belief.ts';
import type { Bench } from './bench.ts';
import { askingCost } from './bench.ts';
import type { Compiled } from './compiled.ts';
import { at } from './compiled.ts';

/** One question seen from one belief. */
export type Candidate = {
  readonly index: number;
  /** In money. */
  readonly cost: number;
  readonly unsure: number;
  /** Chance of each answer under each cause, for someone who answers. */
  readonly answers: readonly Float64Array[];
  /** The fact at the root of the tree it reads; questions of different trees do not see each other. */
  readonly tree: number;
};

const treeOf = ({ facts }: Compiled, fact: number): number => {
  let root = fact;
  while (at(facts, root).parent >= 0) root = at(facts, root).parent;
  return root;
};

export const candidates = (bench: Bench): readonly Candidate[] =>
  bench.askable.map((index) => {
    const { question, fact } = at(bench.compiled.questions, index);
    return {
      index,
      cost: askingCost(bench, index),
      unsure: question.unsure,
      answers: answerChances(bench.compiled, bench.belief, index),
      tree: treeOf(bench.compiled, fact),
    };
  });

/** The same question seen from another belief. */
export const seenFrom = (compiled: Compiled, belief: Belief, candidate: Candidate): Candidate => ({
  ...candidate,
  answers: answerChances(compiled, belief, candidate.index),
});

/** The same question seen after an answer to another one. */
export const seenAfter = ({ compiled, belief }: Bench, first: Candidate, answer: number, second: Candidate): Candidate => {
  if (first.tree !== second.tree) return second;
  const { fact, given } = at(compiled.questions, first.index);
  return seenFrom(compiled, absorb(compiled, belief, fact, at(given, answer)), second);
};

const multiply = (a: Float64Array, b: Float64Array, out: Float64Array): Float64Array => {
  for (let i = 0; i < a.length; i += 1) out[i] = a[i]! * b[i]!;
  return out;
};

export const product = (a: Float64Array, b: Float64Array): Float64Array => multiply(a, b, new Float64Array(a.length));

let room = new Float64Array(0);

/** A product that lasts only until the next one: questions are costed hundreds of times for each that is asked. */
const passing = (a: Float64Array, b: Float64Array): Float64Array => {
  if (room.length !== a.length) room = new Float64Array(a.length);
  return multiply(a, b, room);
};

export const total = (mass: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < mass.length; i += 1) sum += mass[i]!;
  return sum;
};

/** What the best plan costs from a mass over causes; it must not keep the mass. */
export type Worth = (mass: Float64Array) => number;

/** Expected cost of asking one question and then deciding; `now` is the worth of the mass without asking. */
export const askOnce = (worth: Worth, mass: Float64Array, now: number, { cost, unsure, answers }: Candidate): number => {
  let answered = 0;
  for (const answer of answers) answered += worth(passing(mass, answer));
  return cost * total(mass) + (1 - unsure) * answered + unsure * now;
};

/** A question with the expected cost of asking it. */
export type Look = { readonly candidate: Candidate; readonly after: number };

export const cheapestFirst = (looks: readonly Look[]): readonly Look[] => [...looks].sort((a, b) => a.after - b.after);
