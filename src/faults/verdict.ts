import { believe, chances } from './belief.ts';
import type { Bench } from './bench.ts';
import { bench } from './bench.ts';
import { at } from './compiled.ts';
import type { Case, Model, Money, Situation } from './model.ts';
import type { Misfit } from './misfit.ts';
import { misfit } from './misfit.ts';
import type { NextQuestion } from './next-question.ts';
import { nextMove, optionsNow } from './next-question.ts';
import { stepCures } from './options.ts';
import type { Option, Step } from './moves.ts';
import type { Meanwhile, OutcomeKind } from './programme.ts';
import type { Caution } from './safety.ts';
import { toldDanger } from './safety.ts';
import type { NeededMoney } from './waiting.ts';
import { ASSUMED_MONEY, missingMoney, reckonedMoney } from './waiting.ts';

export type VerdictKind = 'nothing-wrong' | 'bar-job' | 'leave-group-out' | 'book' | 'other-trade' | 'stop';

/** One way to go on, as people choose between them. */
export type Choice = {
  readonly kind: VerdictKind;
  /** Expected cost, in the café's money if `money.known`, else in assumed units that must not be shown. */
  readonly cost: number;
  /** Until the next step or the visit. */
  readonly meanwhile: Meanwhile;
  readonly steps: readonly Step[];
  /** What follows when every step fails, or at once without steps. */
  readonly ending: OutcomeKind;
  readonly bookedFirst: boolean;
  /** Chance that the first step ends it; 0 without steps. */
  readonly cures: number;
};

/** A reading that speaks for the likeliest cause: `weight` is the log of how far it moved that cause's odds. */
export type Reason = { readonly reading: number; readonly weight: number };

/** The call fee at which the verdict becomes another one. */
export type TurningPoint = { readonly fee: number; readonly kind: VerdictKind };

export type Verdict = {
  /** What the answer begins with: the choice's kind, or that the group stands still, where a danger told of asks for it. */
  readonly kind: VerdictKind;
  readonly choice: Choice;
  /** The best choice of each kind, cheapest first; tries in vain last. */
  readonly options: readonly Choice[];
  /** Causes by chance, the likeliest first; chances sum to 1. */
  readonly likely: readonly { readonly cause: string; readonly chance: number }[];
  /** Indices into the case's readings. */
  readonly reasons: readonly Reason[];
  readonly turning: TurningPoint | null;
  readonly caution: Caution;
  /** Danger questions nobody could answer: no hands-on job is offered while there is one. */
  readonly open: readonly string[];
  readonly money: { readonly known: boolean; readonly missing: readonly NeededMoney[] };
  readonly misfit: Misfit;
};

const kindOf = (option: Option, stopped: boolean): VerdictKind => {
  if (stopped) return 'stop';
  const [step] = option.steps;
  if (option.bookedFirst || step === undefined) return option.end.kind;
  return step.meanwhile === 'group-out' && step.slot !== null ? 'leave-group-out' : 'bar-job';
};

const meanwhileOf = (option: Option): Meanwhile => option.steps[0]?.meanwhile ?? option.end.meanwhile;

const choiceOf = (bench: Bench, option: Option, stopped: boolean): Choice => {
  const step = option.steps[0];
  const jobs = bench.jobs.filter(({ job }) => step?.jobs.includes(job.id) === true);
  return {
    kind: kindOf(option, stopped),
    cost: option.cost,
    meanwhile: meanwhileOf(option),
    steps: option.steps,
    ending: option.end.kind,
    bookedFirst: option.bookedFirst,
    cures: stepCures(bench.compiled, jobs, bench.chance),
  };
};

const bestOfEachKind = (choices: readonly Choice[]): readonly Choice[] =>
  choices.filter((choice, i) => choices.findIndex(({ kind }) => kind === choice.kind) === i);

/** Tries that all together end it in fewer cases than this are no answer: somebody has to come anyway (assumed). */
const WORTH_TRYING = 0.05;

const endsAll = ({ compiled, jobs, chance }: Bench, steps: readonly Step[]): number =>
  stepCures(compiled, jobs.filter(({ job }) => steps.some((step) => step.jobs.includes(job.id))), chance);

/** The cheapest first, but a run of tries that hardly ever ends it behind everything else. */
const worthTrying = (laid: Bench, choices: readonly Choice[]): readonly Choice[] => {
  const isVain = ({ kind, steps }: Choice): boolean => (kind === 'bar-job' || kind === 'leave-group-out') && endsAll(laid, steps) < WORTH_TRYING;
  return [...choices.filter((each) => !isVain(each)), ...choices.filter(isVain)];
};

const isStopped = (caution: Caution): boolean => caution.level >= 2;

const choicesOf = (bench: Bench, options: readonly Option[]): readonly Choice[] =>
  bestOfEachKind(options.map((option) => choiceOf(bench, option, isStopped(bench.caution))));

const kindAt = (model: Model, situation: Situation, aCase: Case, money: Money): VerdictKind => {
  const laid = bench(model, { ...situation, money }, aCase);
  return at(worthTrying(laid, choicesOf(laid, optionsNow(laid))), 0).kind;
};

/** Fees down to this part of the café's own and up to this many times as much are looked at. */
const FURTHEST = 50;
const HALVINGS = 16;

/** Halves the stretch between two fees with different verdicts until it is a coin's width. */
const turnBetween = (kind: (fee: number) => VerdictKind, same: number, other: number): TurningPoint => {
  let [near, far] = [same, other];
  const own = kind(same);
  for (let i = 0; i < HALVINGS; i += 1) {
    const middle = (near + far) / 2;
    if (kind(middle) === own) near = middle;
    else far = middle;
  }
  return { fee: far, kind: kind(far) };
};

/** The nearest fee, below or above the café's own, at which the whole programme comes out differently. */
export const turningPoint = (model: Model, situation: Situation, aCase: Case): TurningPoint | null => {
  const { callFee } = reckonedMoney(situation.money);
  const kind = (fee: number): VerdictKind => kindAt(model, situation, aCase, { ...situation.money, callFee: fee });
  const own = kind(callFee);
  if (own === 'stop') return null;
  const ends = [callFee / FURTHEST, Math.max(callFee, ASSUMED_MONEY.callFee) * FURTHEST];
  const turns = ends.filter((fee) => kind(fee) !== own).map((fee) => turnBetween(kind, callFee, fee));
  const distance = ({ fee }: TurningPoint): number => Math.abs(Math.log(Math.max(fee, 1e-9) / callFee));
  turns.sort((a, b) => distance(a) - distance(b));
  return turns[0] ?? null;
};

const odds = (chance: number): number => chance / Math.max(1 - chance, 1e-12);

/** Each reading's weight is how far the likeliest cause's odds fall when it is left out. */
const reasonsFor = (aCase: Case, laid: Bench): readonly Reason[] => {
  const top = laid.chance.indexOf(Math.max(...laid.chance));
  const reasons = aCase.readings.flatMap((reading, index) => {
    if (reading.kind === 'unsure') return [];
    const rest = { ...aCase, readings: aCase.readings.filter((_, i) => i !== index) };
    const without = chances(believe(laid.compiled, rest));
    const weight = Math.log(odds(at(laid.chance, top)) / Math.max(odds(at(without, top)), 1e-12));
    return weight > 0 ? [{ reading: index, weight }] : [];
  });
  return reasons.sort((a, b) => b.weight - a.weight);
};

const likelyOf = ({ compiled, chance }: Bench): Verdict['likely'] =>
  compiled.causes
    .map(({ id }, c) => ({ cause: id, chance: at(chance, c) }))
    .filter((entry) => entry.chance > 0)
    .sort((a, b) => b.chance - a.chance);

/** Told of a danger at a group, people read first that it stands still, and only then who ends it. */
const headed = ({ kind, meanwhile }: Choice, { level }: Caution, told: boolean): VerdictKind =>
  told && level === 1 && meanwhile === 'group-out' && (kind === 'book' || kind === 'bar-job') ? 'leave-group-out' : kind;

const settle = (model: Model, aCase: Case, laid: Bench, options: readonly Option[]): Verdict => {
  const { situation, compiled, caution, open } = laid;
  const choices = worthTrying(laid, choicesOf(laid, options));
  const choice = at(choices, 0);
  const missing = missingMoney(situation.money);
  return {
    kind: headed(choice, caution, toldDanger(compiled, aCase.readings)),
    choice,
    options: choices,
    likely: likelyOf(laid),
    reasons: reasonsFor(aCase, laid),
    turning: turningPoint(model, situation, aCase),
    caution,
    open: open.map((q) => at(compiled.questions, q).question.id),
    money: { known: missing.length === 0, missing },
    misfit: misfit(compiled, aCase, laid.chance),
  };
};

/** What to do with what is known now, also where asking on would pay. */
export const verdict = (model: Model, situation: Situation, aCase: Case): Verdict => {
  const laid = bench(model, situation, aCase);
  return settle(model, aCase, laid, optionsNow(laid));
};

/** The next thing in a case: one more question, or the verdict. */
export type Next =
  /** `hold`: a danger is not ruled out yet, and the machine rests while it is asked about. */
  | ({ readonly kind: 'ask'; readonly hold: boolean } & NextQuestion)
  | { readonly kind: 'decide'; readonly verdict: Verdict };

export const next = (model: Model, situation: Situation, aCase: Case): Next => {
  const laid = bench(model, situation, aCase);
  const move = nextMove(laid);
  if (move.kind === 'ask') return { ...move, hold: laid.caution.level >= 2 && move.because === 'saving' };
  return { kind: 'decide', verdict: settle(model, aCase, laid, move.options) };
};
