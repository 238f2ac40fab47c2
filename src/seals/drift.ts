import type { SealConstants } from './constants.ts';
import { creepWeeks, type Path } from './drift-belief.ts';

/** Chance that the handle has not yet passed `limitDegrees` at this age. */
export const staysBefore = (paths: readonly Path[], ageDays: number, limitDegrees: number, constants: SealConstants): number => {
  const weeks = new Map(constants.drift.quickShares.map((share) => [share, creepWeeks(ageDays, share, constants.wear)]));
  let before = 0;
  for (const { start, startStep, rate, quickShare, weight } of paths) {
    // The start stands for all values within half a step of it.
    const share = 0.5 + (limitDegrees - start - rate * (weeks.get(quickShare) as number)) / startStep;
    before += weight * Math.min(1, Math.max(0, share));
  }
  return before;
};

export type DriftForecast = {
  /** Believed position now, and creep in degrees a week over the first half year. */
  readonly nowDegrees: number;
  readonly spreadDegrees: number;
  readonly degreesPerWeek: number;
  readonly pastAlready: number;
  /** Ages at which a tenth, half and nine tenths of the chances have passed the limit. */
  readonly lowAgeDays: number;
  readonly medianAgeDays: number;
  readonly highAgeDays: number;
};

const ageWhenBefore = (paths: readonly Path[], share: number, limit: number, constants: SealConstants): number => {
  let low = 0;
  let high = constants.drift.horizonDays;
  for (let i = 0; i < 16; i++) {
    const middle = (low + high) / 2;
    if (staysBefore(paths, middle, limit, constants) > share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/** When the handle passes the limit; an end at the horizon of the constants means "not within it". */
export const driftForecast = (paths: readonly Path[], ageDays: number, limitDegrees: number, constants: SealConstants): DriftForecast => {
  let mean = 0;
  let square = 0;
  let rateMean = 0;
  for (const { start, rate, quickShare, weight } of paths) {
    const now = start + rate * creepWeeks(ageDays, quickShare, constants.wear);
    mean += weight * now;
    square += weight * now * now;
    rateMean += weight * rate;
  }
  const at = (share: number): number => ageWhenBefore(paths, share, limitDegrees, constants);
  return {
    nowDegrees: mean,
    spreadDegrees: Math.sqrt(Math.max(0, square - mean * mean)),
    degreesPerWeek: rateMean,
    pastAlready: 1 - staysBefore(paths, ageDays, limitDegrees, constants),
    lowAgeDays: at(0.9),
    medianAgeDays: at(0.5),
    highAgeDays: at(0.1),
  };
};

/**
 * Median of the slopes between all pairs of points (Theil and Sen). Only a cross-check: with readings
 * rounded to a quarter of an hour most pairs tie, and the median sticks at nothing.
 */
export const theilSen = (points: readonly { readonly x: number; readonly y: number }[]): number => {
  const slopes = points
    .flatMap((a, i) => points.slice(i + 1).flatMap((b) => (b.x === a.x ? [] : [(b.y - a.y) / (b.x - a.x)])))
    .toSorted((a, b) => a - b);
  if (slopes.length === 0) return Number.NaN;
  const upper = slopes[Math.floor(slopes.length / 2)] as number;
  const lower = slopes[Math.floor((slopes.length - 1) / 2)] as number;
  return (lower + upper) / 2;
};
