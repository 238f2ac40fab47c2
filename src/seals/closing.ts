import type { HandlePosition } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';

/**
 * To which side the handle of a group is pushed to lock it. Most close to the right. Readings are stored as the person saw
 * them, right positive; everything that reckons takes them in the sense of closing, so that a worn ring always moves one way.
 */
export type Closes = 'right' | 'left';

/** What was read of it; anything else is not known. */
export const closesOf = (value: string | undefined): Closes | undefined => (value === 'right' || value === 'left' ? value : undefined);

/** Degrees as seen into degrees in the sense of closing, and back again: one turns the other round. */
export const turned = (degrees: number, closes: Closes | undefined): number => (closes === 'left' && degrees !== 0 ? -degrees : degrees);

/** A stored handle reading in the sense of closing; `stop` has no side. */
export const inClosingSense = (value: string, closes: Closes | undefined): string => (value === 'stop' ? value : String(turned(Number(value), closes)));

/**
 * Must it be asked? Where the usual group could not stand so: a ring that is not new far left (wear moves it right), or one
 * known to be new far right. One known to be new and far left is asked too: only a ring too thick or a group that closes to
 * the left stands so, and the first puts the group out of use.
 */
export const asksClosing = (closes: Closes | undefined, handle: HandlePosition, ringAgeDays: number | undefined, { handle: limits, height }: SealConstants): boolean => {
  if (closes !== undefined || handle.kind === 'stop') return false;
  const young = ringAgeDays !== undefined && ringAgeDays <= height.lateAfterDays;
  return handle.degrees <= limits.outOfUseDegrees || (young && handle.degrees >= limits.orderDegrees);
};
