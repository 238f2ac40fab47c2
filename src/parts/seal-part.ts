import type { PartId } from './ledger.ts';

/** A group seal by its marked thickness in millimetres: `seal-8.5`. */
export const sealPart = (sizeMm: number): PartId => `seal-${sizeMm}`;
