import { z } from 'zod';
import type { House } from './house.ts';
import { unknowns, type Unknown } from './set-up.ts';

const schema = z.object({ counts: z.record(z.string(), z.number()), silent: z.number() });

/** What the weekly question asked so far: how often each fact, and how many in a row went without an answer. */
export type AskedSoFar = z.infer<typeof schema>;

export const readAsked = (text: string | null): AskedSoFar => (text === null ? { counts: {}, silent: 0 } : schema.parse(JSON.parse(text)));
export const writeAsked = (asked: AskedSoFar): string => JSON.stringify(asked);

/** After two times a question rests; after four questions in a row without an answer all of them do. */
const MOST_TIMES = 2;
const MOST_SILENT = 4;

const keyOf = ({ fact, machine }: Unknown): string => (machine === null ? fact.key : `${fact.key}.${machine}`);

/** The next question worth asking: of those asked least often the most useful; undefined when it is time to be silent. */
export const nextQuestion = (house: House): Unknown | undefined => {
  const { counts, silent } = readAsked(house.cafe.asked);
  if (silent >= MOST_SILENT) return undefined;
  const open = unknowns(house).filter((each) => (counts[keyOf(each)] ?? 0) < MOST_TIMES);
  const least = Math.min(...open.map((each) => counts[keyOf(each)] ?? 0));
  return open.find((each) => (counts[keyOf(each)] ?? 0) === least);
};

export const asAsked = (asked: AskedSoFar, question: Unknown): AskedSoFar => ({ counts: { ...asked.counts, [keyOf(question)]: (asked.counts[keyOf(question)] ?? 0) + 1 }, silent: asked.silent + 1 });
