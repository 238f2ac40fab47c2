import type { SealConstants } from './constants.ts';
import { isLate, stackMm, type FitRing, type HeightBelief } from './height.ts';
import type { SizeOption, Stack } from './size-option.ts';

/** What to read or measure to settle the size of the next ring. */
export type NextReading =
  /** The mark on the ring that comes out, and any shim above it. */
  | { readonly kind: 'size-of-old-ring' }
  /** The handle, within two weeks of fitting this stack new. */
  | { readonly kind: 'new-ring'; readonly stack: Stack }
  /** The handle once more, while the ring is still new. */
  | { readonly kind: 'again'; readonly stack: Stack }
  /** The ramp's lead: measured by a technician, or one new ring read with and without a shim. */
  | { readonly kind: 'lead' };

const meanHeight = (row: Float64Array, heightsMm: Float64Array): number => {
  let sum = 0;
  row.forEach((weight, h) => (sum += weight * (heightsMm[h] as number)));
  return sum;
};

/** Whether not knowing the lead blurs this option more than not knowing the height does. */
const leadBlurs = (belief: HeightBelief, option: SizeOption, constants: SealConstants): boolean => {
  let between = 0;
  belief.rows.forEach((row, l) => {
    const slope = 360 / (belief.lead.leadsMm[l] as number);
    const degrees = constants.handle.targetDegrees + slope * (meanHeight(row, belief.heightsMm) - stackMm(option.stack));
    between += (belief.lead.weights[l] as number) * (degrees - option.degrees) ** 2;
  });
  return between > option.spreadDegrees ** 2 / 2;
};

/** The reading that tells most between the best stack (or, lacking one, the nearest) and its rival. */
export const nextReading = (
  rings: readonly FitRing[],
  belief: HeightBelief,
  best: SizeOption,
  rival: SizeOption,
  constants: SealConstants,
): NextReading => {
  const last = rings[rings.length - 1];
  if (last === undefined) return { kind: 'size-of-old-ring' };
  const read = rings.some((ring) => ring.readings.some((reading) => !isLate(reading, constants.height)));
  if (read && leadBlurs(belief, rival, constants)) return { kind: 'lead' };
  const { sealMm, shimMm } = last;
  const young = last.fittedDaysAgo !== undefined && last.fittedDaysAgo <= constants.height.lateAfterDays;
  return young
    ? { kind: 'again', stack: { sealMm, shimMm, shims: shimMm > 0 ? 1 : 0 } }
    : { kind: 'new-ring', stack: best.stack };
};
