import type { SealConstants } from './constants.ts';

/** Where a handle points: an angle read off the clock, or pushed against its stop (at least that far). */
export type HandlePosition = { readonly kind: 'angle'; readonly degrees: number } | { readonly kind: 'stop' };

/** Degrees to the right of straight, from the hour the handle points at; 6.25 is a quarter past six. */
export const degreesOfHour = (hour: number): number => (6 - hour) * 30;

/** The hour as a decimal, 6.25 for a quarter past six. */
export const hourOfDegrees = (degrees: number): number => 6 - degrees / 30;

/** Nearest quarter of an hour: what a person can read. */
export const toQuarterHour = (degrees: number, stepDegrees: number): number => Math.round(degrees / stepDegrees) * stepDegrees;

/** Variance of one reading: the person's error and the rounding to a step. */
export const readingVariance = (handle: SealConstants['handle']): number =>
  handle.readingErrorDegrees ** 2 + handle.readingStepDegrees ** 2 / 12;
