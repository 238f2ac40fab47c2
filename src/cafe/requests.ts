import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { parseConfig } from '../words/config-file.ts';
import type { Answer } from '../chat/incoming.ts';
import { folded } from './fold.ts';
import type { Said, WhichCafe, WordsRoute } from './subject.ts';

/** What can be asked for in plain words besides answering a list or saying what is wrong. */
export const REQUESTS = ['today', 'lately', 'job', 'record', 'fitted', 'drawings', 'screen', 'shim', 'stuck', 'visits', 'safety', 'closed', 'hours', 'people', 'machine', 'reminders', 'jobs', 'night', 'moved'] as const;
export type RequestKind = (typeof REQUESTS)[number];

/** `rest`: the words between those of the request, such as dates or a name; empty for most. */
export type Request = { readonly does: RequestKind; readonly rest: string };

const wordList = z.array(z.string().min(1)).min(1);

const schema = z.strictObject({
  /** Words that change nothing. */
  filler: wordList,
  asks: z
    .array(
      z.strictObject({
        does: z.enum(REQUESTS),
        /** Of each of these lists a word or phrase has to be there. */
        needs: z.array(wordList).min(1),
        /** May be there. */
        also: z.array(z.string().min(1)).default([]),
        /** Other words may stand in one piece: `dates` and `name` are read by those who answer; `numbers` are any figures. */
        rest: z.enum(['none', 'dates', 'name', 'numbers']).default('none'),
      }),
    )
    .min(1),
});

type Ask = z.output<typeof schema>['asks'][number];
export type RequestWords = z.output<typeof schema>;

export const parseRequests = (text: string, file: string): RequestWords => parseConfig(schema, text, file);

/** One file a language, named after it. */
export const readRequests = (folder: string): ReadonlyMap<string, RequestWords> =>
  new Map(readdirSync(folder).sort().map((file) => [file.replace(/\.yaml$/, ''), parseRequests(readFileSync(join(folder, file), 'utf8'), join(folder, file))]));

/** Elided articles stand apart: "l'acqua" is two words, "what's" one. */
const apart = (text: string): string => text.replace(/(?<=\p{L})['’](?=\p{L}{3})/gu, ' ');

/** A request with its words ready to be compared. */
type Compiled = { readonly does: RequestKind; readonly rest: Ask['rest']; readonly needs: readonly (readonly string[])[]; readonly known: ReadonlySet<string> };

const pieces = (list: readonly string[]): readonly string[] => list.flatMap((each) => folded(apart(each)).split(' '));

const compiled = ({ filler, asks }: RequestWords): readonly Compiled[] => {
  const always = pieces(filler);
  return asks.map(({ does, rest, needs, also }) => ({ does, rest, needs: needs.map((list) => list.map((each) => ` ${folded(apart(each))} `)), known: new Set([...always, ...needs.flatMap(pieces), ...pieces(also)]) }));
};

/** What is left when known words are taken off both ends; undefined: not of a kind this request may leave. */
const restOf = (words: readonly string[], { known, rest }: Compiled): string | undefined => {
  const isKnown = (word: string): boolean => folded(word).split(' ').every((piece) => piece === '' || known.has(piece) || (rest === 'numbers' && /^\d+$/.test(piece)));
  const first = words.findIndex((word) => !isKnown(word));
  if (first < 0) return '';
  return rest === 'dates' || rest === 'name' ? words.slice(first, words.findLastIndex((word) => !isKnown(word)) + 1).join(' ') : undefined;
};

const asks = (plain: string, words: readonly string[], ask: Compiled): Request | undefined => {
  if (!ask.needs.every((list) => list.some((each) => plain.includes(each)))) return undefined;
  const left = restOf(words, ask);
  return left === undefined ? undefined : { does: ask.does, rest: left.replace(/[?!.,]+$/, '') };
};

/** What a whole message asks for; undefined where it asks for none of it. */
export type ReadRequest = (text: string) => Request | undefined;

/**
 * Reads requests in all these languages. A message that holds a word the request does not know is none: a complaint must
 * never be taken for a question about the record.
 */
export const requestReader = (languages: ReadonlyMap<string, RequestWords>): ReadRequest => {
  const all = [...languages.values()].flatMap(compiled);
  return (text) => {
    const plain = ` ${folded(apart(text))} `;
    const words = apart(text).trim().split(/\s+/);
    for (const ask of all) {
      const found = asks(plain, words, ask);
      if (found) return found;
    }
    return undefined;
  };
};

/** A plain request is no complaint, whatever its words look like. */
export const isRequest = (requests: ReadRequest, text: string): boolean => requests(text)?.rest === '';

/**
 * Answers a request for information. In several words it is answered whatever question is open; a single word may be the
 * answer to that question, so it waits until nobody took it.
 */
export const informed = (name: string, kind: RequestKind, requests: ReadRequest, take: (said: Said) => Promise<Answer | WhichCafe | undefined>): readonly WordsRoute[] => {
  const route = (order: number, several: boolean): WordsRoute => ({
    name: several ? name : `${name}.word`,
    order,
    take: async (said) => (said.addressed && said.readable && /\s/.test(said.text.trim()) === several && requests(said.text)?.does === kind ? take(said) : undefined),
  });
  return [route(36, true), route(55, false)];
};
