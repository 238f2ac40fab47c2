import { changeDate, cheapestInterval, type ChangeDate, type Costs } from './change-date.ts';
import type { HandlePosition } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import type { Path } from './drift-belief.ts';
import { staysBefore } from './drift.ts';
import type { GroupLook, GroupState } from './inspection-reasons.ts';
import { survivalAt, type LifeCurve } from './life-curve.ts';
import { staysSound, type InService } from './life.ts';
import { outlook, type LargerHazard } from './outlook.ts';

/** The ring in one group now, with everything believed of it. */
export type RingNow = {
  readonly newRing: LifeCurve;
  readonly inService: InService;
  /** Left out where the handle was never read. */
  readonly drift?: { readonly paths: readonly Path[]; readonly ageDays: number };
  /** Days since a look that the seal passed; since it was fitted, if none. */
  readonly daysSincePassed: number;
};

export type RingOutlook = {
  readonly change: ChangeDate;
  /** Chance that seal or handle end it within the given days from now, already ended included. */
  readonly endsWithin: (days: number) => number;
  /** Over the next four looks, or until the change if that is later. */
  readonly larger: LargerHazard;
};

const HORIZON_DAYS = 700;

/** Seal and handle together: when to change, and how likely the ring ends before. */
export const ringOutlook = (ring: RingNow, costs: Costs, constants: SealConstants): RingOutlook => {
  const limit = constants.handle.changeNowDegrees;
  const { drift } = ring;
  const now = drift === undefined ? 1 : staysBefore(drift.paths, drift.ageDays, limit, constants);
  const handle = (days: number): number =>
    drift === undefined || now <= 0 ? 1 : staysBefore(drift.paths, drift.ageDays + days, limit, constants) / now;
  const together = outlook((days) => staysSound(ring.inService, days), handle);
  const price = cheapestInterval((age) => survivalAt(ring.newRing, age), costs, HORIZON_DAYS).costPerDay;
  const latest = constants.change.longestDays - ring.daysSincePassed;
  const change = changeDate(together.stays, costs, price, latest, constants.change.longestDays);
  const soundNow = (1 - ring.inService.wornAlready) * now;
  return {
    change,
    endsWithin: (days) => 1 - soundNow * together.stays(days),
    larger: together.larger(Math.max(4 * constants.change.lookEveryDays, change.inDays)),
  };
};

export type LookedAt = {
  readonly look: GroupLook;
  readonly ringAgeDays?: number;
  readonly before?: HandlePosition;
  readonly neededMm?: number;
  readonly daysSinceFelt: number;
};

/** One group's look and forecasts, ready for the verdict. The forecasts must include the look already. */
export const groupState = (looked: LookedAt, ring: RingNow, seen: RingOutlook, constants: SealConstants): GroupState => ({
  ...looked,
  wornAlready: ring.inService.wornAlready,
  endsBeforeNextLook: seen.endsWithin(constants.change.lookEveryDays),
  change: seen.change,
});
