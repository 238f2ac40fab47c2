import { changeDate, cheapestInterval, type ChangeDate, type Costs, type Survival } from './change-date.ts';
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
  /** Chance that seal or handle end it within the given days from now (up to the longest time), already ended included. */
  readonly endsWithin: (days: number) => number;
  /** Over the next four looks, or until the change if that is later. */
  readonly larger: LargerHazard;
};

const HORIZON_DAYS = 700;
const WEEK_DAYS = 7;

/** The handle's chances read off once a week and joined by straight lines: it moves slowly, and each look-up walks all its paths. */
const handleStays = (drift: NonNullable<RingNow['drift']>, limit: number, constants: SealConstants): Survival => {
  const weeks = Math.ceil(constants.change.longestDays / WEEK_DAYS) + 1;
  const stays = Array.from({ length: weeks + 1 }, (_, i) => staysBefore(drift.paths, drift.ageDays + WEEK_DAYS * i, limit, constants));
  return (days) => {
    const at = Math.min(weeks - 1e-9, days / WEEK_DAYS);
    const i = Math.floor(at);
    return (stays[i] as number) + (at - i) * ((stays[i + 1] as number) - (stays[i] as number));
  };
};

/** Seal and handle together: when to change, and how likely the ring ends before. */
export const ringOutlook = (ring: RingNow, costs: Costs, constants: SealConstants): RingOutlook => {
  const limit = constants.handle.changeNowDegrees;
  const stays = ring.drift === undefined ? () => 1 : handleStays(ring.drift, limit, constants);
  const now = stays(0);
  const handle = (days: number): number => (now <= 0 ? 1 : stays(days) / now);
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
