import { hourOfDegrees } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import type { HeightBelief } from './height.ts';
import { stackMm } from './height.ts';

/** A seal with or without shims, as it could be fitted. */
export type Stack = { readonly sealMm: number; readonly shimMm: number; readonly shims: number };

/** Where the handle would point with this stack and a new ring. */
export type SizeOption = {
  readonly stack: Stack;
  readonly degrees: number;
  readonly spreadDegrees: number;
  readonly hour: number;
  /** Average distance from the target, either way. */
  readonly offDegrees: number;
  /** Chance of ending left of the limit. */
  readonly leftChance: number;
};

/** Seals alone and with one shim each, thinnest first. */
export const stacksOf = (sealsMm: readonly number[], shimsMm: readonly number[]): readonly Stack[] =>
  sealsMm
    .flatMap((sealMm) => [{ sealMm, shimMm: 0, shims: 0 }, ...shimsMm.map((shimMm) => ({ sealMm, shimMm, shims: 1 }))])
    .toSorted((a, b) => stackMm(a) - stackMm(b) || a.shims - b.shims);

/** Calls back with each angle a new ring of this stack might take, and its weight. */
export const overAngles = (
  belief: HeightBelief,
  stack: Stack,
  constants: SealConstants,
  take: (degrees: number, weight: number, leadMm: number, heightMm: number) => void,
): void => {
  belief.lead.leadsMm.forEach((leadMm, l) => {
    const row = belief.rows[l] as Float64Array;
    const share = belief.lead.weights[l] as number;
    belief.heightsMm.forEach((heightMm, h) => {
      const degrees = constants.handle.targetDegrees + (360 / leadMm) * (heightMm - stackMm(stack));
      take(degrees, share * (row[h] as number), leadMm, heightMm);
    });
  });
};

/** Share of a cell of the grid that lies left of the limit; the cell is as wide as its step in height. */
const shareLeft = (degrees: number, leadMm: number, stepMm: number, limit: number): number =>
  Math.min(1, Math.max(0, 0.5 + (limit - degrees) / ((360 / leadMm) * stepMm)));

export const sizeOption = (belief: HeightBelief, stack: Stack, constants: SealConstants): SizeOption => {
  const { targetDegrees, leftLimitDegrees } = constants.handle;
  const stepMm = (belief.heightsMm[1] as number) - (belief.heightsMm[0] as number);
  let mean = 0;
  let square = 0;
  let off = 0;
  let left = 0;
  overAngles(belief, stack, constants, (degrees, weight, leadMm) => {
    mean += weight * degrees;
    square += weight * degrees * degrees;
    off += weight * Math.abs(degrees - targetDegrees);
    left += weight * shareLeft(degrees, leadMm, stepMm, leftLimitDegrees);
  });
  const spread = Math.sqrt(Math.max(0, square - mean * mean));
  return { stack, degrees: mean, spreadDegrees: spread, hour: hourOfDegrees(mean), offDegrees: off, leftChance: left };
};

/** Chance that this stack stands well: near the target, or at least nearer than any other on offer. */
export const standsWell = (belief: HeightBelief, stack: Stack, offered: readonly Stack[], constants: SealConstants): number => {
  const { targetDegrees, leftLimitDegrees, goodWithinDegrees } = constants.handle;
  let well = 0;
  overAngles(belief, stack, constants, (degrees, weight, leadMm, heightMm) => {
    const off = Math.abs(degrees - targetDegrees);
    const nearer = offered.some((other) => {
      const angle = targetDegrees + (360 / leadMm) * (heightMm - stackMm(other));
      return angle >= leftLimitDegrees && Math.abs(angle - targetDegrees) < off - 1e-9;
    });
    if (off <= goodWithinDegrees || (!nearer && degrees >= leftLimitDegrees)) well += weight;
  });
  return well;
};
