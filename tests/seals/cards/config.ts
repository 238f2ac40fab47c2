import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import type { JobFacts } from '../../../src/seals/card-rules.ts';
import { cardFiles, checkCards } from '../../../src/seals/cards-read.ts';
import { createWords, readTexts } from '../../../src/words/catalogue.ts';

const jobs = z.object({
  jobs: z.array(z.object({ id: z.string(), machine: z.enum(['any', 'hot', 'cold']), minutes: z.number(), soak: z.number().default(0), training: z.boolean().default(false), caution: z.enum(['hot', 'cold', 'none']).default('none') })),
});

export const texts = readTexts('config/words');
export const words = createWords(texts);
export const textOf = (key: string): string | undefined => texts.get('en')?.get(key);
export const staffJobs: readonly JobFacts[] = jobs.parse(parse(readFileSync('config/faults/jobs.yaml', 'utf8'))).jobs;
export const files = cardFiles('config/cards');
export const { book, findings } = checkCards(files, staffJobs, textOf);
export const allCards = [...book.cards.values()];
