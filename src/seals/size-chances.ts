import { groupsOf, type Machine } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { SealConstants } from './constants.ts';
import { heightBelief, type FitRing } from './height.ts';
import { leadBelief, type LeadEvidence } from './lead.ts';
import { fitRingsOf, type GroupHistory } from './record-evidence.ts';
import { asDrawn, leadEvidenceOf, nextSize, nextStack, WELL_TO_DEGREES } from './record-forecast.ts';
import { historyOf, recordOf } from './records.ts';

export type SizeChance = { readonly sizeMm: number; readonly chance: number };

/** Sizes of seals a group may want, in millimetres; common practice, no source. */
const SIZES_MM = [5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9];

/** Least chance of the size that the advice names without being sure of it: more likely than not. Assumed. */
const NAMED_UNSURE = 0.5;

/**
 * The size wanted if height and ramp are so: the one in the group where a new one of it stands well, since nobody changes a size
 * that serves; else the one nearest to the target that does not end left of the limit, the thinnest where all would.
 */
const sizeFor = (heightMm: number, leadMm: number, last: FitRing, { targetDegrees, leftLimitDegrees }: SealConstants['handle']): number => {
  const angleOf = (sizeMm: number): number => targetDegrees + (360 / leadMm) * (heightMm - sizeMm - last.shimMm);
  const own = angleOf(last.sealMm);
  if (own > leftLimitDegrees && own <= WELL_TO_DEGREES) return last.sealMm;
  const allowed = SIZES_MM.filter((size) => angleOf(size) >= leftLimitDegrees);
  return allowed.toSorted((a, b) => Math.abs(angleOf(a) - targetDegrees) - Math.abs(angleOf(b) - targetDegrees))[0] ?? (SIZES_MM[0] as number);
};

/** What the advice names has at least the chance it was named with; the others keep their proportions. */
const leadBy = (chances: ReadonlyMap<number, number>, namedMm: number, least: number): ReadonlyMap<number, number> => {
  const has = chances.get(namedMm) ?? 0;
  if (has >= least) return chances;
  return new Map([...[...chances].map(([size, chance]): [number, number] => [size, (chance * (1 - least)) / (1 - has)]), [namedMm, least]]);
};

const believed = (rings: readonly FitRing[], own: readonly LeadEvidence[], others: readonly GroupHistory[], constants: SealConstants, now: number): ReadonlyMap<number, number> => {
  const lead = leadBelief(own, others.map((other) => leadEvidenceOf(other, constants, now)), constants);
  const belief = heightBelief(rings, lead, constants);
  const last = rings.at(-1) as FitRing;
  const chances = new Map<number, number>();
  belief.lead.leadsMm.forEach((leadMm, l) => {
    const row = belief.rows[l] as Float64Array;
    belief.heightsMm.forEach((heightMm, h) => {
      const weight = (belief.lead.weights[l] as number) * (row[h] as number);
      if (weight <= 0) return;
      const size = sizeFor(heightMm, leadMm, last, constants.handle);
      chances.set(size, (chances.get(size) ?? 0) + weight);
    });
  });
  return chances;
};

/**
 * Chance of each size being the one wanted for a group, most likely first; they add up to 1. The first is the one the
 * advice on the next size names. Empty: no size was ever recorded. `others`: the machine's other groups.
 */
export const sizeChances = (history: GroupHistory, others: readonly GroupHistory[], given: SealConstants, now: number): readonly SizeChance[] => {
  const known = fitRingsOf(history, now);
  if (known.length === 0) return [];
  const constants = asDrawn(given);
  // Where no handle was ever read, that the ring in the group serves is all that speaks.
  const rings = known.some(({ readings }) => readings.length > 0) ? known : known.map((ring) => ({ ...ring, found: true }));
  const chances = believed(rings, leadEvidenceOf(history, constants, now), others, constants, now);
  const named = nextStack(history, nextSize(history, others, given, now), given, now);
  const led = named ? leadBy(chances, named.sealMm, named.sure ? constants.height.sureChance : NAMED_UNSURE) : chances;
  return [...led].map(([sizeMm, chance]) => ({ sizeMm, chance })).toSorted((a, b) => b.chance - a.chance || a.sizeMm - b.sizeMm);
};

/** The same out of the store, for the group of a machine. */
export const sizesIn = (constants: SealConstants) => async (tx: Tx, machine: Machine, group: number, now: Instant): Promise<readonly SizeChance[]> => {
  const record = await recordOf(tx, machine.id);
  const others = (await groupsOf(tx, machine.id)).map(({ number }) => number).filter((number) => number !== group);
  return sizeChances(historyOf(machine, record, group), others.map((number) => historyOf(machine, record, number)), constants, now);
};
