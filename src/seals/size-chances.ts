import type { Machine } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { SealConstants } from './constants.ts';
import { heightBelief } from './height.ts';
import { leadBelief } from './lead.ts';
import { newPairs } from './lead-evidence.ts';
import { fitRingsOf, type GroupHistory } from './record-evidence.ts';
import { asDrawn } from './record-forecast.ts';
import { historyOf, recordOf } from './records.ts';

export type SizeChance = { readonly sizeMm: number; readonly chance: number };

/** Sizes of seals a group may want, in millimetres; common practice, no source. */
const SIZES_MM = [5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9];

/** The size that would stand nearest to the target without ending left of the limit; the thinnest where all would. */
const sizeFor = (heightMm: number, leadMm: number, { targetDegrees, leftLimitDegrees }: SealConstants['handle']): number => {
  const angleOf = (sizeMm: number): number => targetDegrees + (360 / leadMm) * (heightMm - sizeMm);
  const allowed = SIZES_MM.filter((size) => angleOf(size) >= leftLimitDegrees);
  return allowed.toSorted((a, b) => Math.abs(angleOf(a) - targetDegrees) - Math.abs(angleOf(b) - targetDegrees))[0] ?? (SIZES_MM[0] as number);
};

/** Chance of each size being the right one for a group, most likely first; they add up to 1. Empty: no size was ever recorded. */
export const sizeChances = (history: GroupHistory, given: SealConstants, now: number): readonly SizeChance[] => {
  const known = fitRingsOf(history, now);
  if (known.length === 0) return [];
  const constants = asDrawn(given);
  // Where no handle was ever read, that the ring in the group serves is all that speaks.
  const rings = known.some(({ readings }) => readings.length > 0) ? known : known.map((ring) => ({ ...ring, found: true }));
  const belief = heightBelief(rings, leadBelief(newPairs(rings, constants.height), [], constants), constants);
  const chances = new Map<number, number>();
  belief.lead.leadsMm.forEach((leadMm, l) => {
    const row = belief.rows[l] as Float64Array;
    belief.heightsMm.forEach((heightMm, h) => {
      const weight = (belief.lead.weights[l] as number) * (row[h] as number);
      if (weight <= 0) return;
      const size = sizeFor(heightMm, leadMm, constants.handle);
      chances.set(size, (chances.get(size) ?? 0) + weight);
    });
  });
  return [...chances].map(([sizeMm, chance]) => ({ sizeMm, chance })).toSorted((a, b) => b.chance - a.chance);
};

/** The same out of the store, for the group of a machine. */
export const sizesIn = (constants: SealConstants) => async (tx: Tx, machine: Machine, group: number, now: Instant): Promise<readonly SizeChance[]> =>
  sizeChances(historyOf(machine, await recordOf(tx, machine.id), group), constants, now);
