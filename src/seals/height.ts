import { readingVariance, type HandlePosition } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import { blurred, evenly, normalised, product } from './grid.ts';
import type { LeadBelief } from './lead.ts';
import { normalBelow, normalKernel } from './normal.ts';
import { expectedWear, wearFactors, type Material } from './wear.ts';

export type HandleReading = {
  /** Age of the ring at the reading; left out where nobody knows when it was fitted. */
  readonly ageDays?: number;
  readonly at: HandlePosition;
};

/** One ring that was or is in the group, with readings of one state of the machine (all cold or all hot). */
export type FitRing = {
  readonly sealMm: number;
  readonly shimMm: number;
  readonly material: Material;
  /** How long ago it was fitted; left out where nobody knows. */
  readonly fittedDaysAgo?: number;
  /** Found in the group: somebody before us chose it, and it served. */
  readonly found: boolean;
  readonly readings: readonly HandleReading[];
};

/** Chances of the stack height a group needs: one row of normalised weights over `heightsMm` for each lead. */
export type HeightBelief = {
  readonly lead: LeadBelief;
  readonly heightsMm: Float64Array;
  readonly rows: readonly Float64Array[];
};

const STEP_MM = 0.05;
const HALF_WIDTH_MM = 4;
const UNKNOWN_AGE_DAYS = 120;
const RECORD_DOUBT = 1e-9;

export const isLate = (reading: HandleReading, height: SealConstants['height']): boolean =>
  reading.ageDays === undefined || reading.ageDays > height.lateAfterDays;

export const stackMm = (ring: { readonly sealMm: number; readonly shimMm: number }): number => ring.sealMm + ring.shimMm;

const wearAt = (reading: HandleReading, material: Material, constants: SealConstants): number =>
  expectedWear(reading.ageDays ?? UNKNOWN_AGE_DAYS, material, constants.wear);

type Implied = { readonly count: number; readonly mean: number; readonly scatter: number };

/** Angle readings as heights that would explain them: their number, mean and sum of squares about it. */
const implied = (heights: readonly number[]): Implied => {
  const count = heights.length;
  const mean = heights.reduce((sum, h) => sum + h, 0) / Math.max(1, count);
  return { count, mean, scatter: heights.reduce((sum, h) => sum + (h - mean) ** 2, 0) };
};

/** Likelihood of one ring's readings over the heights, for one lead, its own wear averaged out. */
const readingsOf = (ring: FitRing, leadMm: number, heights: Float64Array, constants: SealConstants): Float64Array => {
  const slope = 360 / leadMm;
  const { targetDegrees, stopDegrees, readingErrorDegrees } = constants.handle;
  const stiffness = slope ** 2 / (2 * readingVariance(constants.handle));
  const worn = ring.readings.map((reading) => wearAt(reading, ring.material, constants));
  const out = new Float64Array(heights.length);
  for (const { factor, weight } of wearFactors(constants.wear.logSpread)) {
    const angles = ring.readings.flatMap((reading, i) =>
      reading.at.kind === 'angle'
        ? [(reading.at.degrees - targetDegrees) / slope + stackMm(ring) - factor * (worn[i] as number)]
        : [],
    );
    const stops = ring.readings.flatMap((reading, i) => (reading.at.kind === 'stop' ? [factor * (worn[i] as number)] : []));
    const { count, mean, scatter } = implied(angles);
    for (let h = 0; h < heights.length; h++) {
      const height = heights[h] as number;
      let chance = weight * Math.exp(-stiffness * (count * (height - mean) ** 2 + scatter));
      for (const wear of stops) {
        const angle = targetDegrees + slope * (height - stackMm(ring) + wear);
        chance *= normalBelow((angle - stopDegrees) / readingErrorDegrees);
      }
      out[h] = (out[h] as number) + chance;
    }
  }
  return out;
};

/** A ring that somebody else chose: about the height needed, and it did not stand too far left. */
const foundRing = (ring: FitRing, leadMm: number, heights: Float64Array, constants: SealConstants): Float64Array => {
  const { foundShimSpreadMm, foundRingSpreadMm, servedDoubt } = constants.height;
  const spread = ring.shimMm > 0 ? foundShimSpreadMm : foundRingSpreadMm;
  const room = ((constants.handle.leftLimitDegrees - constants.handle.targetDegrees) * leadMm) / 360;
  return heights.map((height) => {
    const served = height - stackMm(ring) >= room ? 1 : servedDoubt;
    return served * Math.exp(-(((height - stackMm(ring)) / spread) ** 2) / 2);
  });
};

/** A ring may have been recorded wrongly altogether: it never rules a height out for good. */
const believable = (part: Float64Array): Float64Array => {
  const largest = part.reduce((a, b) => Math.max(a, b), 0);
  return largest === 0 ? part.fill(1) : part.map((chance) => chance / largest + RECORD_DOUBT);
};

const ringParts = (ring: FitRing, leadMm: number, heights: Float64Array, constants: SealConstants): readonly Float64Array[] => {
  const onlyLate = ring.readings.every((reading) => isLate(reading, constants.height));
  const parts: Float64Array[] = [];
  if (ring.readings.length > 0) parts.push(readingsOf(ring, leadMm, heights, constants));
  if (ring.found && onlyLate) parts.push(foundRing(ring, leadMm, heights, constants));
  return parts.map(believable);
};

const centreOf = (rings: readonly FitRing[], constants: SealConstants): number => {
  const last = rings[rings.length - 1];
  return last === undefined ? constants.height.meanMm : stackMm(last);
};

/** Belief about the stack a new ring of this group needs, from every ring it had (oldest first). */
export const heightBelief = (rings: readonly FitRing[], lead: LeadBelief, constants: SealConstants): HeightBelief => {
  const { meanMm, spreadMm, ringSpreadMm, walkMmPerYear } = constants.height;
  const count = Math.round((2 * HALF_WIDTH_MM) / STEP_MM) + 1;
  const heights = evenly(centreOf(rings, constants), HALF_WIDTH_MM, count);
  const prior = heights.map((height) => Math.exp(-(((height - meanMm) / spreadMm) ** 2) / 2));
  const nextRing = normalKernel(ringSpreadMm / STEP_MM);
  const since = rings.map((ring) => {
    const walk = walkMmPerYear ** 2 * ((ring.fittedDaysAgo ?? 365) / 365);
    return normalKernel(Math.sqrt(ringSpreadMm ** 2 + walk) / STEP_MM);
  });
  const rows = Array.from(lead.leadsMm, (leadMm) => {
    const parts = rings.flatMap((ring, i) =>
      ringParts(ring, leadMm, heights, constants).map((part) => blurred(part, since[i] as Float64Array)),
    );
    return normalised(blurred(product([prior, ...parts], count), nextRing));
  });
  return { lead, heightsMm: heights, rows };
};
