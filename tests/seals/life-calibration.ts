import type { SealConstants } from '../../src/seals/constants.ts';
import { daysLeft, failedWithin, forecastLives, nextLife, type LifePrior } from '../../src/seals/life.ts';
import { drawCafes, type Fleet, type TrueGroup } from './life-simulation.ts';
import type { Random } from './random.ts';

export type Calibration = {
  readonly nextHeld: readonly boolean[];
  readonly nextRatio: readonly number[];
  readonly leftHeld: readonly boolean[];
  /** Chance said that the ring has failed within four weeks, and whether it had. */
  readonly monthSaid: readonly number[];
  readonly monthFailed: readonly boolean[];
};

type Row = { readonly held: boolean; readonly ratio: number; readonly left?: { readonly held: boolean; readonly said: number; readonly failed: boolean; readonly sound: boolean } };

const MONTH = 28;

/** Forecasts of one café beside what the groups' next rings and rings in service then do. */
const cafeRows = (fleet: Fleet, groups: readonly TrueGroup[], prior: LifePrior, c: SealConstants, random: Random): readonly Row[] =>
  forecastLives(groups.map((group) => group.record), prior, c).map((forecast, g) => {
    const group = groups[g] as TrueGroup;
    const range = nextLife(forecast.newRing);
    const next = fleet.life(group.median, random);
    const row = { held: next >= range.lowDays && next <= range.highDays, ratio: range.highDays / range.lowDays };
    if (forecast.inService === undefined || group.current === undefined) return row;
    const left = group.current.failsOn - group.today;
    const said = failedWithin(forecast.inService, MONTH);
    const days = daysLeft(forecast.inService);
    return { ...row, left: { held: left >= days.lowDays && left <= days.highDays, said, failed: left <= MONTH, sound: left > 0 } };
  });

/** One fleet of `cafes` cafés: a fresh set of groups, forecast and then lived. */
export const calibrate = (fleet: Fleet, cafes: number, earlier: number, prior: LifePrior, c: SealConstants, random: Random): Calibration => {
  const rows = drawCafes(fleet, cafes, earlier, c, random).flatMap((groups) => cafeRows(fleet, groups, prior, c, random));
  const inService = rows.flatMap((row) => (row.left === undefined ? [] : [row.left]));
  return {
    nextHeld: rows.map((row) => row.held),
    nextRatio: rows.map((row) => row.ratio),
    leftHeld: inService.filter((left) => left.sound).map((left) => left.held),
    monthSaid: inService.map((left) => left.said),
    monthFailed: inService.map((left) => left.failed),
  };
};

export const shareOf = (held: readonly boolean[]): number => held.filter(Boolean).length / held.length;

export const medianOf = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] as number;

export const pooled = (all: readonly Calibration[]): Calibration => ({
  nextHeld: all.flatMap((one) => one.nextHeld),
  nextRatio: all.flatMap((one) => one.nextRatio),
  leftHeld: all.flatMap((one) => one.leftHeld),
  monthSaid: all.flatMap((one) => one.monthSaid),
  monthFailed: all.flatMap((one) => one.monthFailed),
});
