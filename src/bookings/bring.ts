import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { PartId } from '../parts/ledger.ts';
import { sealPart } from '../parts/seal-part.ts';
import { parseConfig } from '../words/config-file.ts';
import type { LikelyCause } from './handoff-facts.ts';
import { kitFor, splitBySize, type Kit, type KitVisit, type Outcome, type PartCount } from './kit.ts';

const cures = z.union([z.array(z.string()).min(1), z.literal('none'), z.literal('workshop')]);
const chances = z.record(z.string().regex(/^\d+(\.\d+)?$/), z.number().gt(0).max(1));
const counts = z.record(z.string(), z.number().int().positive());

const schema = z.strictObject({ parts: z.record(z.string(), cures), values: z.record(z.string(), z.number().positive()), van: counts, sealSizes: chances }).superRefine(({ parts, values, van }, problems) => {
  for (const [where, named] of [...Object.entries(parts).map(([cause, list]) => [cause, Array.isArray(list) ? list : []] as const), ['van', Object.keys(van)] as const])
    for (const part of named) if (!(kindOf(part) in values)) problems.addIssue(`${where} names ${part}, which has no value`);
});

const kindOf = (part: PartId): string => (part.startsWith('seal-') ? 'seal' : part);

/** Which parts end which cause, what they are worth and what a van usually holds; from config/parts.yaml. */
export type PartsBook = z.output<typeof schema>;

export const readParts = (file: string): PartsBook => parseConfig(schema, readFileSync(file, 'utf8'), file);

/** Size of a seal and the chance that it is the one wanted. */
export type SealSize = { readonly sizeMm: number; readonly chance: number };

/** The sizes to reckon with: what the group's record says; without one, the size written for the machine; else what is usual. */
export const sizesToBring = ({ sealSizes }: PartsBook, known: readonly SealSize[], written: number | null): readonly SealSize[] => {
  if (known.length > 0) return known;
  if (written !== null) return [{ sizeMm: written, chance: 1 }];
  return Object.entries(sealSizes).map(([size, chance]) => ({ sizeMm: Number(size), chance }));
};

/** Parts of a cause as the book names them; undefined: no part in a bag ends it. */
const partsOf = (book: PartsBook, cause: string): readonly string[] | undefined => {
  const all = cause.split('+').map((each) => book.parts[each] ?? 'workshop');
  return all.includes('workshop') ? undefined : all.flatMap((list) => (Array.isArray(list) ? list : []));
};

const once = (parts: readonly PartId[]): readonly PartCount[] => [...new Set(parts)].map((part) => ({ part, count: 1 }));

/** Worth a place in the bag above this chance; assumed, common practice, no source. */
const WORTH_BRINGING = 0.15;

/** Seals that are likely enough to be the right size. */
const sealsOf = (sizes: readonly SealSize[]): readonly PartId[] => sizes.filter(({ chance }) => chance >= WORTH_BRINGING).map(({ sizeMm }) => sealPart(sizeMm));

/** Parts that end a cause, seals in every size that is likely enough; none for what needs no part or a workshop. */
export const partsFor = (book: PartsBook, cause: string, sizes: readonly SealSize[]): readonly PartId[] =>
  cause.split('+').flatMap((each) => partsOf(book, each) ?? []).flatMap((part) => (part === 'seal' ? sealsOf(sizes) : [part]));

/** What to bring for what it may be, without a van in mind: each part once, seals in every size that is likely enough. */
export const bringFor = (book: PartsBook, likely: readonly LikelyCause[], sizes: readonly SealSize[]): readonly PartCount[] => {
  return once(likely.filter(({ chance }) => chance >= WORTH_BRINGING).flatMap(({ cause }) => partsFor(book, cause, sizes)));
};

/** What ends each likely cause in one visit, the seal split by its sizes. */
export const outcomesFor = (book: PartsBook, likely: readonly LikelyCause[], sizes: readonly SealSize[]): readonly Outcome[] =>
  likely.flatMap(({ cause, chance }): readonly Outcome[] => {
    const parts = partsOf(book, cause);
    if (parts === undefined) return [{ chance, needs: null }];
    const plain = parts.filter((part) => part !== 'seal');
    if (plain.length === parts.length) return [{ chance, needs: once(plain) }];
    return splitBySize(chance, sizes.map((size) => ({ part: sealPart(size.sizeMm), chance: size.chance }))).map((outcome) =>
      outcome.needs === null ? outcome : { ...outcome, needs: [...once(plain), ...outcome.needs] });
  });

/** Of what any kit could reach, the share that the day's kit must reach at every visit. Assumed. */
export const KIT_LEVEL = 0.9;

/** The parts of least value to fetch for a day of visits, in their order, beside what the van holds. */
export const kitForDay = (book: PartsBook, visits: readonly KitVisit[], van: ReadonlyMap<PartId, number>): Kit => {
  const parts = visits.flatMap(({ outcomes }) => outcomes.flatMap(({ needs }) => (needs ?? []).map(({ part }) => part)));
  return kitFor({ visits, values: new Map(parts.map((part) => [part, book.values[kindOf(part)] ?? 0])), van, level: KIT_LEVEL });
};
