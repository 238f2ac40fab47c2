import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import type { LikelyCause } from './handoff-facts.ts';
import type { PartCount } from './kit.ts';

const schema = z.strictObject({ parts: z.record(z.string(), z.array(z.string()).min(1)), seals: z.array(z.string()) });

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
