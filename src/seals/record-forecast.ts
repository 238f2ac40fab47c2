import type { ChangeDate, Costs } from './change-date.ts';
import type { SealConstants } from './constants.ts';
import { driftBelief, type Path } from './drift-belief.ts';
import { adviseFit, type Fit } from './fit.ts';
import { ringOutlook, type RingNow, type RingOutlook } from './group-state.ts';
import { isLate, stackMm } from './height.ts';
import { leadBelief, type LeadEvidence } from './lead.ts';
import { newPairs } from './lead-evidence.ts';
import { daysLeft, forecastLives, type DaysRange, type LifeForecast, type LifePrior } from './life.ts';
import type { LargerHazard } from './outlook.ts';
import { UNSEEN_DAYS, driftReadingsOf, fitRingsOf, groupRecordOf, sinceOf, stateReadIn, type GroupHistory, type PaceFor } from './record-evidence.ts';
import { stacksOf } from './size-option.ts';

/** What is expected of the seal in one group; days count from now. */
export type SealForecast = {
  readonly change: ChangeDate;
  /** 80 % range and median of the days left to the seal, the handle left aside. */
  readonly left: DaysRange;
  readonly wornAlready: number;
  readonly endsBeforeNextLook: number;
  readonly endsWithin: (days: number) => number;
  readonly larger: LargerHazard;
  readonly drift?: { readonly paths: readonly Path[]; readonly ageDays: number };
};

/** People choose between handles drawn half an hour apart, coarser than the clock they could read. */
const DRAWN_STEP_DEGREES = 15;
export const asDrawn = (constants: SealConstants): SealConstants => ({ ...constants, handle: { ...constants.handle, readingStepDegrees: DRAWN_STEP_DEGREES } });

/**
 * What a failure costs where a look comes round regularly: found by a look before it leaks, it is one more change and no
 * failure in service. It fails somewhere between two looks, leaks after a while, and each look may miss it.
 */
export const costsWithLooks = ({ change, looks }: SealConstants): Costs => {
  const dry = Math.exp(-change.lookEveryDays / looks.leakAfterDays);
  // Mean of exp(-t / leakAfter) over the part of the interval that is left when it fails.
  const toFirst = ((1 - dry) * looks.leakAfterDays) / change.lookEveryDays;
  const caught = (toFirst * looks.badWhenFailed) / (1 - (1 - looks.badWhenFailed) * dry);
  return { planned: 1, failed: caught + (1 - caught) * change.failureToPlanned };
};

/** Looks within so many rounds show that a group is looked at. */
const HABIT_ROUNDS = 3;

const costsOf = (history: GroupHistory, constants: SealConstants, now: number): Costs => {
  const unseen = history.seals.findLast(({ outAt }) => outAt === null)?.fittedAt == null ? UNSEEN_DAYS : 0;
  const looked = sinceOf(history, now).felt <= HABIT_ROUNDS * constants.change.lookEveryDays + unseen;
  return looked ? costsWithLooks(constants) : { planned: 1, failed: constants.change.failureToPlanned };
};

const driftOf = (history: GroupHistory, constants: SealConstants, now: number): SealForecast['drift'] => {
  const readings = driftReadingsOf(history, stateReadIn(history.readings), now);
  const seal = history.seals.findLast(({ outAt }) => outAt === null);
  if (readings.length === 0 || !seal) return undefined;
  return { paths: driftBelief(readings, undefined, constants), ageDays: (now - (seal.fittedAt ?? seal.metAt)) / 86_400_000 };
};

const forecastOne = (life: LifeForecast, history: GroupHistory, constants: SealConstants, now: number): SealForecast | undefined => {
  const { inService } = life;
  if (!inService) return undefined;
  const drift = driftOf(history, constants, now);
  const ring: RingNow = { newRing: life.newRing, inService, daysSincePassed: sinceOf(history, now).passed, ...(drift ? { drift } : {}) };
  const seen: RingOutlook = ringOutlook(ring, costsOf(history, constants, now), constants);
  return {
    change: seen.change, left: daysLeft(inService), wornAlready: inService.wornAlready, larger: seen.larger, endsWithin: seen.endsWithin,
    endsBeforeNextLook: seen.endsWithin(constants.change.lookEveryDays), ...(drift ? { drift } : {}),
  };
};

/** Forecasts for all groups of a café at once: each learns from the others. Undefined where no seal is known of. */
export const forecastGroups = (groups: readonly GroupHistory[], paceFor: PaceFor, prior: LifePrior, given: SealConstants, now: number): readonly (SealForecast | undefined)[] => {
  const constants = asDrawn(given);
  const lives = forecastLives(groups.map((group) => groupRecordOf(group, paceFor, now)), prior, constants);
  return groups.map((history, i) => forecastOne(lives[i] as LifeForecast, history, constants, now));
};

/** Sizes and shims on the market that come into question; common practice, no source. */
const SIZES_MM = [5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9];
const SHIMS_MM = [0.5, 1];

/** Readings of one seal so near each other that it has not moved between them. Assumed. */
const REPEAT_DAYS = 4;

/** Handles read again within days, for the error of reading them: one list for each such time. */
export const repeatsOf = (history: GroupHistory, now: number): readonly (readonly number[])[] =>
  fitRingsOf(history, now).flatMap(({ readings }) => {
    const read = readings.flatMap(({ ageDays, at }) => (ageDays === undefined || at.kind === 'stop' ? [] : [{ ageDays, degrees: at.degrees }]));
    const firsts = read.filter(({ ageDays }, i) => i === 0 || ageDays - (read[i - 1]?.ageDays ?? 0) > REPEAT_DAYS);
    return firsts.map((first) => read.filter(({ ageDays }) => ageDays >= first.ageDays && ageDays <= first.ageDays + REPEAT_DAYS).map(({ degrees }) => degrees)).filter((set) => set.length > 1);
  });

/** What is known of a group's lead: measured by a technician, or told by new rings of different stacks. */
export const leadEvidenceOf = (history: GroupHistory, { height, lead }: SealConstants, now: number): readonly LeadEvidence[] => {
  const measured = history.readings.flatMap(({ what, value }): readonly LeadEvidence[] => (what === 'lead' && Number(value) >= lead.lowMm && Number(value) <= lead.highMm ? [{ kind: 'measured', leadMm: Number(value) }] : []));
  return [...measured, ...newPairs(fitRingsOf(history, now), height)];
};

/** Which size to fit next; undefined while no size was ever recorded. The ramps of the machine's other groups are of one kind with this one's. */
export const nextSize = (history: GroupHistory, others: readonly GroupHistory[], given: SealConstants, now: number): Fit | undefined => {
  const rings = fitRingsOf(history, now);
  if (rings.length === 0) return undefined;
  const constants = asDrawn(given);
  const lead = leadBelief(leadEvidenceOf(history, constants, now), others.map((other) => leadEvidenceOf(other, constants, now)), constants);
  return adviseFit({ rings, lead, stock: stacksOf(SIZES_MM, SHIMS_MM) }, constants);
};

/** The stack to fit next. `sure`: how it stood when it was new speaks for it. */
export type NextStack = { readonly sealMm: number; readonly shimMm: number; readonly same: boolean; readonly sure: boolean };

/** Furthest right at which a new seal still stood well: half past five. Common practice, no source. */
export const WELL_TO_DEGREES = 15;

/** Whether the seal in the group stood well in its first weeks; undefined while it was not read then. */
const stoodWell = (history: GroupHistory, { handle, height }: SealConstants, now: number): boolean | undefined => {
  const early = (fitRingsOf(history, now).at(-1)?.readings ?? []).filter((reading) => !isLate(reading, height));
  if (early.length === 0) return undefined;
  const mean = early.reduce((sum, { at }) => sum + (at.kind === 'stop' ? handle.stopDegrees : at.degrees), 0) / early.length;
  return mean > handle.outOfUseDegrees && mean <= WELL_TO_DEGREES;
};

/** Whether the ring in the group stands where its handle may blow out: a new one of the same stack would stand further there still. */
const standsOut = (history: GroupHistory, { handle }: SealConstants, now: number): boolean => {
  const at = fitRingsOf(history, now).at(-1)?.readings.at(-1)?.at;
  return at?.kind === 'angle' && at.degrees <= handle.outOfUseDegrees;
};

/** The nearest to the target of the thinner stacks that do not end left of the limit. */
const thinner = (fit: Fit | undefined, { sealMm, shimMm }: NextStack, { height }: SealConstants): NextStack | undefined => {
  const found = fit?.options.find(({ stack, leftChance }) => stackMm(stack) < sealMm + shimMm && leftChance <= height.leftChanceLimit);
  return found && { sealMm: found.stack.sealMm, shimMm: found.stack.shimMm, same: false, sure: false };
};

/** Whether a new ring of the same stack might well end left of the limit, as the handle of the old one tells. */
const mayEndLeft = (fit: Fit | undefined, { sealMm, shimMm }: NextStack, { height }: SealConstants): boolean =>
  fit?.options.some(({ stack, leftChance }) => stackMm(stack) === sealMm + shimMm && leftChance > height.unreadLeftChanceLimit) ?? false;

/** Without readings of a new seal: the same again, never sure; the advised thinner one where the handle of the old one speaks against it. */
const unread = (history: GroupHistory, fit: Fit | undefined, same: NextStack, constants: SealConstants, now: number): NextStack | undefined => {
  if (standsOut(history, constants, now)) return thinner(fit, same, constants);
  const isRead = (fitRingsOf(history, now).at(-1)?.readings.length ?? 0) > 0;
  if (!isRead || !mayEndLeft(fit, same, constants)) return { ...same, sure: false };
  return fit === undefined || fit.kind === 'none' ? undefined : { sealMm: fit.best.stack.sealMm, shimMm: fit.best.stack.shimMm, same: false, sure: false };
};

/**
 * What is named as the next size. A seal that stood well when new is followed by the same, whatever the wear shows; one that
 * did not, by the advice. Without readings of a new seal, like follows like, and it is said not to be sure; but never where the
 * handle of the old one tells that a new one would end too far left.
 */
export const nextStack = (history: GroupHistory, fit: Fit | undefined, constants: SealConstants, now: number): NextStack | undefined => {
  const last = history.seals.findLast(({ outAt }) => outAt === null);
  if (last?.sizeMm == null) return undefined;
  const same: NextStack = { sealMm: last.sizeMm, shimMm: last.shimMm ?? 0, same: true, sure: true };
  const well = stoodWell(history, constants, now);
  if (well === true) return same;
  if (well === undefined) return unread(history, fit, same, constants, now);
  if (fit === undefined || fit.kind === 'none') return undefined;
  const { sealMm, shimMm } = fit.best.stack;
  return { sealMm, shimMm, same: sealMm === same.sealMm && shimMm === same.shimMm, sure: fit.kind === 'sure' };
};
