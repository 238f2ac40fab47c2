import type { SealConstants } from './constants.ts';
import { countReadings, fitReasons, type FitReason } from './fit-reasons.ts';
import { heightBelief, isLate, stackMm, type FitRing, type HeightBelief } from './height.ts';
import type { LeadBelief } from './lead.ts';
import { nextReading, type NextReading } from './next-reading.ts';
import { sizeOption, standsWell, type SizeOption, type Stack } from './size-option.ts';

export type Dropped = {
  readonly option: SizeOption;
  /** It might end left of the limit; or only readings of worn rings speak for it; or no new ring was read yet. */
  readonly why: 'may-end-left' | 'only-worn-rings-say-so' | 'no-new-ring-read';
};

type Common = {
  /** Every stack in stock, nearest to the target first. */
  readonly options: readonly SizeOption[];
  readonly dropped: readonly Dropped[];
  readonly reasons: readonly FitReason[];
  readonly heightMm: number;
  readonly heightSpreadMm: number;
};

export type Fit = Common &
  (
    | { readonly kind: 'sure'; readonly best: SizeOption; readonly sure: number }
    | {
        readonly kind: 'two';
        readonly best: SizeOption;
        readonly sure: number;
        /** Left out where nothing else in stock comes into question. */
        readonly other?: SizeOption;
        readonly take: NextReading;
      }
    /** Nothing in stock is safe or known enough; `wantedMm` is the stack to look for, on the thin side. */
    | { readonly kind: 'none'; readonly wantedMm: number; readonly take: NextReading }
  );

export type FitQuestion = {
  /** Oldest first; the last one is in the group now, or came out last. */
  readonly rings: readonly FitRing[];
  readonly lead: LeadBelief;
  readonly stock: readonly Stack[];
};

type Choice = {
  readonly belief: HeightBelief;
  readonly options: readonly SizeOption[];
  readonly kept: readonly SizeOption[];
  readonly dropped: readonly Dropped[];
};

const TIE_DEGREES = 0.05;

const nearestFirst = (a: SizeOption, b: SizeOption): number =>
  Math.abs(a.offDegrees - b.offDegrees) > TIE_DEGREES ? a.offDegrees - b.offDegrees : a.stack.shims - b.stack.shims;

const thickestFirst = (a: SizeOption, b: SizeOption): number =>
  stackMm(b.stack) - stackMm(a.stack) || a.stack.shims - b.stack.shims;

/** Before any new ring was read: the stack that served, or the next thinner one in stock that a handle standing left does not speak against. */
const likeForLike = (options: readonly SizeOption[], rings: readonly FitRing[], { height }: SealConstants): readonly SizeOption[] => {
  const last = rings[rings.length - 1];
  if (last === undefined) return [];
  // Without any reading the chance tells only how little is known.
  const known = last.readings.length > 0;
  const thinner = options.filter((option) => stackMm(option.stack) <= stackMm(last) && !(known && option.leftChance > height.unreadLeftChanceLimit));
  return thinner.toSorted(thickestFirst).slice(0, 1);
};

const choose = (question: FitQuestion, constants: SealConstants): Choice => {
  const belief = heightBelief(question.rings, question.lead, constants);
  const options = question.stock.map((stack) => sizeOption(belief, stack, constants)).toSorted(nearestFirst);
  const unread = countReadings(question.rings, false, constants.height) === 0;
  const kept = unread
    ? likeForLike(options, question.rings, constants)
    : options.filter((option) => option.leftChance <= constants.height.leftChanceLimit);
  const why = unread ? 'no-new-ring-read' : 'may-end-left';
  const dropped = options.filter((option) => !kept.includes(option)).map((option) => ({ option, why }) as const);
  return { belief, options, kept, dropped };
};

const withoutLate = (ring: FitRing, height: SealConstants['height']): FitRing => ({
  ...ring,
  readings: ring.readings.filter((reading) => !isLate(reading, height)),
});

/** The next best candidate; one that only worn rings speak for is not named. */
const rival = (choice: Choice): SizeOption | undefined =>
  choice.options.find(
    (option) =>
      option !== choice.kept[0] && !choice.dropped.some((d) => d.option === option && d.why === 'only-worn-rings-say-so'),
  );

const thicknessOf = (option: SizeOption | undefined): number =>
  option === undefined ? Number.NEGATIVE_INFINITY : stackMm(option.stack);

const surenessOf = (choice: Choice, best: SizeOption, question: FitQuestion, constants: SealConstants): number =>
  standsWell(choice.belief, best.stack, question.stock, constants);

/** Worn rings may speak for a thinner stack than new rings do, never for a thicker one. */
const capped = (choice: Choice, question: FitQuestion, constants: SealConstants): Choice => {
  if (countReadings(question.rings, true, constants.height) === 0) return choice;
  const rings = question.rings.map((ring) => withoutLate(ring, constants.height));
  const fresh = choose({ ...question, rings }, constants);
  const best = fresh.kept[0];
  const bestCap = thicknessOf(best);
  const named = best !== undefined && surenessOf(fresh, best, question, constants) >= constants.height.sureChance ? best : rival(fresh);
  const nameCap = Math.max(bestCap, thicknessOf(named));
  const kept = choice.kept.filter((option) => stackMm(option.stack) <= bestCap);
  const dropped = choice.options
    .filter((option) => !kept.includes(option))
    .map((option): Dropped => {
      const known = choice.dropped.find((d) => d.option === option);
      return known === undefined || stackMm(option.stack) > nameCap ? { option, why: 'only-worn-rings-say-so' } : known;
    });
  return { ...choice, kept, dropped };
};

const heightSummary = (belief: HeightBelief): { readonly mean: number; readonly spread: number } => {
  let mean = 0;
  let square = 0;
  belief.rows.forEach((row, l) => {
    const share = belief.lead.weights[l] as number;
    row.forEach((weight, h) => {
      const height = belief.heightsMm[h] as number;
      mean += share * weight * height;
      square += share * weight * height * height;
    });
  });
  return { mean, spread: Math.sqrt(Math.max(0, square - mean * mean)) };
};

const halfMillimetreBelow = (mm: number): number => Math.floor(mm * 2) / 2;

/**
 * Which stack in stock to fit: options that may end left of the limit are dropped, of the rest the
 * nearest to the target is best. Below the sure chance: two candidates and what to read to settle it.
 */
export const adviseFit = (question: FitQuestion, constants: SealConstants): Fit => {
  const choice = capped(choose(question, constants), question, constants);
  const { belief, options, dropped } = choice;
  const best = choice.kept[0];
  const { mean, spread } = heightSummary(belief);
  const reasons = fitReasons(question.rings, question.lead, best, constants);
  const common = { options, dropped, reasons, heightMm: mean, heightSpreadMm: spread };
  const other = rival(choice);
  const first = best ?? options[0];
  const take: NextReading =
    first === undefined ? { kind: 'size-of-old-ring' } : nextReading(question.rings, belief, first, other ?? first, constants);
  if (best === undefined) return { ...common, kind: 'none', wantedMm: halfMillimetreBelow(mean - spread), take };
  const sure = surenessOf(choice, best, question, constants);
  if (sure >= constants.height.sureChance) return { ...common, kind: 'sure', best, sure };
  return { ...common, kind: 'two', best, sure, take, ...(other === undefined ? {} : { other }) };
};
