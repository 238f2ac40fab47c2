import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import type { LikelyCause } from './handoff-facts.ts';
import { kitFor, type KitVisit, type Outcome, type PartCount } from './kit.ts';

const schema = z.strictObject({ parts: z.record(z.string(), z.array(z.string()).min(1)), seals: z.array(z.string()), values: z.record(z.string(), z.number().positive()).optional() });

/** Which parts end which cause, from config/parts.yaml. */
export type PartsBook = z.output<typeof schema>;

/** A file of parts that cannot be used: where, what, and what to do. */
export class BrokenParts extends Error {}

export const readParts = (file: string): PartsBook => {
  const parsed = schema.safeParse(parse(readFileSync(file, 'utf8')));
  if (!parsed.success) throw new BrokenParts(`${file} needs a change:\n${z.prettifyError(parsed.error)}`);
  return parsed.data;
};

/** Worth a place in the bag above this chance; assumed, common practice, no source. */
const WORTH_BRINGING = 0.15;

/** What to bring for what it may be: each part once, seals in the size that is fitted. */
export const bringFor = (book: PartsBook, likely: readonly LikelyCause[], sealMm: number | null): readonly PartCount[] => {
  const causes = likely.filter(({ chance }) => chance >= WORTH_BRINGING).flatMap(({ cause }) => cause.split('+'));
  const parts = causes.flatMap((cause) => [...(book.parts[cause] ?? []), ...(book.seals.includes(cause) && sealMm !== null ? [`seal-${sealMm}`] : [])]);
  return [...new Set(parts)].map((part) => ({ part, count: 1 }));
};

/** What finishes each likely cause in one visit; a cause without a line in the book may need anything. */
export const outcomesFor = (book: PartsBook, likely: readonly LikelyCause[], sealMm: number | null): readonly Outcome[] =>
  likely.map(({ cause, chance }) => {
    const parts = cause.split('+').map((each) => [...(book.parts[each] ?? []), ...(book.seals.includes(each) && sealMm !== null ? [`seal-${sealMm}`] : [])]);
    return { chance, needs: parts.some((each) => each.length === 0) ? null : [...new Set(parts.flat())].map((part) => ({ part, count: 1 })) };
  });

/** Of what any kit could reach, the share that the day's kit must reach at every visit. Assumed. */
export const KIT_LEVEL = 0.9;
/** Relative value of a part the book does not name. Assumed. */
const USUAL_VALUE = 10;

/** The parts of least value for a day of visits, in their order. */
export const kitForDay = (book: PartsBook, visits: readonly KitVisit[]): readonly PartCount[] => {
  const parts = visits.flatMap(({ outcomes }) => outcomes.flatMap(({ needs }) => (needs ?? []).map(({ part }) => part)));
  return kitFor({ visits, values: new Map(parts.map((part) => [part, book.values?.[part.startsWith('seal-') ? 'seal' : part] ?? USUAL_VALUE])), van: new Map(), level: KIT_LEVEL }).bring;
};
