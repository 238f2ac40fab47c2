import type { PartId } from './ledger.ts';

/** A paper shim by its height in millimetres: `shim-0.5`. */
export const shimPart = (mm: number): PartId => `shim-${mm}`;

/** Height of a shim among the parts; undefined for every other part, and for a shim of a height nobody named. */
export const shimHeight = (part: PartId): number | undefined => {
  const found = /^shim-(\d+(?:\.\d+)?)$/.exec(part);
  return found ? Number(found[1]) : undefined;
};
