import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { parseConfig } from '../words/config-file.ts';

const wordList = z.array(z.string().min(1)).min(1);

const schema = z.strictObject({
  substitutes: wordList,
  instead: wordList,
  still: wordList,
  done: wordList,
  all: wordList,
  except: wordList,
  not: wordList,
  unlike: wordList,
  filler: wordList,
  yesterday: wordList,
  cannot: wordList,
  supplies: wordList,
  lacking: wordList,
  /** After the supplies: there are none left. */
  usedUp: wordList,
  noTime: wordList,
  broken: wordList,
  notShown: wordList,
  /** The machine is off already. */
  off: wordList,
  machine: wordList,
  /** Before "time", "busy", "tired": too much of it. */
  tooMuch: wordList,
  /** Begins a question: a "done" after it is asked for, not told. Phrases. */
  asks: wordList,
  /** Asks whether something may be used. Phrases. */
  mayI: wordList,
  /** A figure after it is a group of the machine, not a job of the list. */
  group: wordList,
  /** What is left of the list. */
  rest: wordList,
  /** Whole messages that take back what the same person said. */
  back: wordList,
  /** Detergent is out, by their word; only a press counts. */
  rinsed: wordList,
  /** A job nobody here has to do. Phrases. */
  notForUs: wordList,
  /** One of these makes a short message say that they are at it, that it comes later, or not today; `beside` may stand with them. */
  wait: wordList,
  later: wordList,
  over: wordList,
  beside: wordList,
  halfHour: wordList,
  hour: wordList,
  minutes: wordList,
  /** Whole messages that ask what is open. */
  today: wordList,
});

/** Words of one language for answering lists. */
export type Lexicon = Readonly<z.infer<typeof schema>>;

export const parseLexicon = (text: string, file: string): Lexicon => parseConfig(schema, text, file);

/** One file a language, named after it. */
export const readLexicons = (folder: string): ReadonlyMap<string, Lexicon> =>
  new Map(readdirSync(folder).sort().map((file) => [file.replace(/\.yaml$/, ''), parseLexicon(readFileSync(join(folder, file), 'utf8'), join(folder, file))]));

const bare = (text: string): string =>
  text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/[\u2019\u2018`]/g, "'").replace(/[?!.\s]+/g, ' ').trim();

/** Whether the whole message asks what is open, in one of these languages. */
export const asksToday = (text: string, lexicons: Iterable<Lexicon>): boolean => [...lexicons].some(({ today }) => today.some((each) => bare(each) === bare(text)));
