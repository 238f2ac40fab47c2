import { readingVariance } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import { expectedWear, type Material } from './wear.ts';

const LEAST_ERROR_DEGREES = 1;

/**
 * Reading error in degrees, from sets of readings of one handle taken within days of each other.
 * What rounding to the clock adds is taken off; the assumed error counts as a number of repeats.
 */
export const learnedReadingError = (sets: readonly (readonly number[])[], handle: SealConstants['handle']): number => {
  let squares = handle.learnWeightRepeats * handle.readingErrorDegrees ** 2;
  let freedom = handle.learnWeightRepeats;
  for (const set of sets) {
    const mean = set.reduce((a, b) => a + b, 0) / set.length;
    const spare = Math.max(0, set.length - 1);
    squares += set.reduce((sum, degrees) => sum + (degrees - mean) ** 2, 0) - (spare * handle.readingStepDegrees ** 2) / 12;
    freedom += spare;
  }
  return Math.sqrt(Math.max(LEAST_ERROR_DEGREES ** 2, squares / freedom));
};

/** One ring read when new and again when it came out, same size and group in between. */
export type WornRing = {
  readonly material: Material;
  readonly leadMm: number;
  readonly newAgeDays: number;
  readonly newDegrees: number;
  readonly newReadings: number;
  readonly outAgeDays: number;
  readonly outDegrees: number;
  readonly outReadings: number;
};

/** How this ring wore against the average one, and the variance of that figure. */
const wearFactor = (ring: WornRing, constants: SealConstants): { readonly factor: number; readonly variance: number } => {
  const expected = expectedWear(ring.outAgeDays, ring.material, constants.wear) - expectedWear(ring.newAgeDays, ring.material, constants.wear);
  const perDegree = ring.leadMm / 360 / expected;
  const readings = readingVariance(constants.handle) * (1 / ring.newReadings + 1 / ring.outReadings);
  return { factor: (ring.outDegrees - ring.newDegrees) * perDegree, variance: readings * perDegree ** 2 };
};

/**
 * Wear of the average ring at half a year, in millimetres, from rings read new and out. Badly read
 * or young rings count less; the assumed wear counts as a number of rings.
 */
export const learnedHalfYearMm = (rings: readonly WornRing[], constants: SealConstants): number => {
  const between = Math.exp(constants.wear.logSpread ** 2) - 1;
  let sum = constants.wear.learnWeightRings;
  let weights = constants.wear.learnWeightRings;
  for (const ring of rings.filter(({ newAgeDays, outAgeDays }) => outAgeDays > newAgeDays)) {
    const { factor, variance } = wearFactor(ring, constants);
    const weight = between / (between + variance);
    sum += weight * factor;
    weights += weight;
  }
  // Wear cannot make up for bedding in: the curve needs more at half a year than after the first weeks.
  return Math.max(1.01 * constants.wear.beddingMm, (constants.wear.halfYearMm * sum) / weights);
};
