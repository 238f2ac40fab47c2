import type { FittedPart, SealHow } from './booking-state.ts';
import { entriesOf, partIn, type PartNames } from './part-words.ts';
import { sealSaid } from './seal-words.ts';

/** Most parts of one close-out. */
const MOST = 6;

export const isSeal = ({ part }: Pick<FittedPart, 'part'>): boolean => part.startsWith('seal-');

/** What was said later stands beside what was said before of the same seal. */
const together = (before: SealHow | undefined, more: SealHow): SealHow => ({ sideUp: more.sideUp ?? before?.sideUp ?? null, shimMm: more.shimMm ?? before?.shimMm ?? null, material: more.material ?? before?.material ?? null });

export const seated = (all: readonly FittedPart[], how: SealHow): readonly FittedPart[] => all.map((one) => (isSeal(one) ? { ...one, how: together(one.how, how) } : one));

/**
 * What a technician writes that was fitted, in the order of writing: "seal 8.5 numbers up, 0.5 shim, 2 screens". Parts of
 * the book by their ids, everything else in their own words; how a seal sits belongs to the seal written before it.
 */
export const fittedIn = (said: string, names: PartNames): readonly FittedPart[] => {
  const all: FittedPart[] = [];
  for (const entry of entriesOf(said, names)) {
    const { how, group, rest } = sealSaid(entry, names.how);
    const part = partIn(rest === '' ? entry : rest, names);
    const seal = all.findLastIndex(isSeal);
    const before = all[seal];
    if (rest === '' && before) all[seal] = { ...before, group: group ?? before.group, ...(how ? { how: together(before.how, how) } : {}) };
    else if (part && part.count > 0 && (how === undefined || isSeal(part))) all.push({ ...part, group, ...(how ? { how } : {}) });
    else if (!part) all.push({ part: entry, count: 1, group: null });
    else if (part.count > 0) all.push({ part: part.part, count: part.count, group });
  }
  return all.slice(0, MOST);
};
