import { nearly } from '../cafe/fold.ts';
import type { Lexicon } from './lexicons.ts';

/** Why something cannot be done. */
export type Hindrance = 'supplies' | 'time' | 'broken' | 'not-shown';

/** A job one may name: by its number on the list, or by words. */
export type Nameable = { readonly id: string; readonly position: number; readonly names: readonly string[] };

/**
 * What a typed answer to a list means. `done` with the jobs it names; `unsure`: a "done" among words we do not know,
 * to be confirmed with one press; `not done`: they say it is not; `none`: not an answer to a list at all.
 */
export type Reply =
  | { readonly kind: 'done'; readonly jobs: readonly string[]; readonly by?: string }
  | { readonly kind: 'unsure' }
  | { readonly kind: 'not done' }
  /** Done, but for these jobs, in words that leave a doubt: asked about. `still`: they say it is going on. */
  | { readonly kind: 'but'; readonly open: readonly string[]; readonly still: boolean }
  /** They cannot; `why` where they say so. `bare`: nothing else was said, so it can only be about a list. */
  | { readonly kind: "can't"; readonly why: Hindrance | null; readonly bare: boolean }
  | { readonly kind: 'none' };

const TICKS = /[\u2705\u2714\u2611\u{1F44D}\u{1F44C}\u{1F197}]\uFE0F?[\u{1F3FB}-\u{1F3FF}]?/gu;

/** Lower case, no accents, ticks and thumbs as "done", every other sign a space; a question mark stays. */
const wordsOf = (text: string): readonly string[] =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, (mark) => (mark === '\uFE0F' ? mark : ''))
    .replace(TICKS, ' done ')
    .toLowerCase()
    .replace(/[\u2019\u2018`]/g, "'")
    .replace(/\bcan'?t\b/g, 'cannot')
    .replace(/n't\b/g, " n't ")
    .replace(/'ll\b/g, " 'll ")
    .replace(/'(s|ve|re|m|d)\b/g, '$1')
    .replace(/(?<!\p{L})\p{L}{1,6}'(?=\p{L}{3})/gu, '')
    .replace(/\?/g, ' ? ')
    .replace(/[^\p{L}\p{N}?' ]+/gu, ' ')
    .split(/\s+/)
    .filter((word) => word !== '' && word !== "'");

const LONG_ENOUGH_TO_MISTYPE = 4;

const isOneOf = (word: string, list: readonly string[], unlike: readonly string[] = []): boolean =>
  list.includes(word) || (word.length >= LONG_ENOUGH_TO_MISTYPE && !unlike.includes(word) && list.some((each) => each.length >= LONG_ENOUGH_TO_MISTYPE && nearly(word, each)));

const isStretched = (word: string, list: readonly string[]): boolean => list.includes(word.replace(/(.)\1+/gu, '$1'));

type Sorted = { readonly named: readonly string[]; readonly excepted: readonly string[]; readonly unknown: readonly string[]; readonly done: boolean; readonly all: boolean };

const sortWords = (words: readonly string[], lexicon: Lexicon, jobs: readonly Nameable[]): Sorted => {
  const named = new Set<string>();
  const excepted = new Set<string>();
  const unknown: string[] = [];
  let done = false;
  let all = false;
  let excluding = false;
  for (const word of words) {
    const job = jobs.filter((each) => String(each.position) === word || isOneOf(word, each.names));
    if (job.length > 0) for (const each of job) (excluding ? excepted : named).add(each.id);
    else if (isOneOf(word, lexicon.done, lexicon.unlike) || isStretched(word, lexicon.done)) done = true;
    else if (lexicon.all.includes(word)) all = true;
    else if (isOneOf(word, lexicon.except)) excluding = true;
    else if (!lexicon.filler.includes(word) && !/^\d{1,2}$/.test(word)) unknown.push(word);
  }
  return { named: [...named], excepted: [...excepted], unknown, done, all };
};

const hindranceIn = (words: readonly string[], lexicon: Lexicon): Hindrance | null => {
  const any = (list: readonly string[]): boolean => words.some((word) => isOneOf(word, list));
  if (any(lexicon.supplies)) return 'supplies';
  if (any(lexicon.broken)) return 'broken';
  if (any(lexicon.noTime)) return 'time';
  return any(lexicon.notShown) ? 'not-shown' : null;
};

/** "Can't" at the beginning, or a lack of what it takes; a sentence that only holds such a word somewhere is not one. */
const cannotIn = (words: readonly string[], lexicon: Lexicon): Reply | undefined => {
  if (words.includes('?')) return undefined;
  const says = words.slice(0, 4).some((word) => lexicon.cannot.includes(word));
  const lacks = words.some((word, i) => lexicon.lacking.includes(word) && words.slice(i + 1, i + 4).some((next) => isOneOf(next, lexicon.supplies)));
  if (!says && !lacks) return undefined;
  const why = hindranceIn(words, lexicon);
  const plain = [lexicon.cannot, lexicon.filler, lexicon.lacking, lexicon.noTime, lexicon.notShown, lexicon.done, lexicon.not].flat();
  const bare = says && words.every((word) => plain.includes(word));
  return says && why === null && words.length > 4 && !bare ? undefined : { kind: "can't", why, bare };
};

/** "Done, but the soak is still going": the jobs that are not, where the words name some and not all of them. */
const butIn = (words: readonly string[], lexicon: Lexicon, jobs: readonly Nameable[], found: Sorted): Reply => {
  const denied = words.findIndex((word) => lexicon.not.includes(word));
  const after = sortWords(words.slice(denied), lexicon, jobs);
  const open = [found.excepted, [...after.named, ...after.excepted], found.named].find((ids) => ids.length > 0) ?? [];
  return open.length === 0 || open.length >= jobs.length ? { kind: 'not done' } : { kind: 'but', open, still: words.some((word) => lexicon.still.includes(word)) };
};

/** Asking whether something else may take the detergent's place: `can I use bleach?`. Only ever answered with no. */
export const asksSubstitute = (text: string, lexicon: Lexicon): boolean => {
  const words = wordsOf(text);
  const plain = ` ${words.join(' ')} `;
  return words.length <= 16 && lexicon.substitutes.some((each) => plain.includes(` ${each} `)) && (words.includes('?') || words.some((word) => lexicon.instead.includes(word)));
};

/** Reads a typed answer. `people` are names that may stand beside "done" ("done Mia"). */
export const readReply = (text: string, lexicon: Lexicon, jobs: readonly Nameable[], people: readonly string[] = []): Reply => {
  const words = wordsOf(text);
  if (words.length === 0 || words.length > 16) return { kind: 'none' };
  const cannot = cannotIn(words, lexicon);
  if (cannot) return cannot;
  const found = sortWords(words.filter((word) => word !== '?'), lexicon, jobs);
  const says = found.done || (found.all && found.excepted.length > 0);
  const denied = words.some((word) => lexicon.not.includes(word));
  if (!says) return { kind: 'none' };
  if (denied) return found.done && !words.includes('?') ? butIn(words, lexicon, jobs, found) : { kind: 'not done' };
  if (words.includes('?')) return { kind: 'unsure' };
  const by = people.find((name) => found.unknown.includes(name.toLowerCase()));
  if (found.unknown.some((word) => word !== by?.toLowerCase())) return { kind: 'unsure' };
  const wanted = found.named.length > 0 && found.excepted.length === 0 ? found.named : jobs.map((job) => job.id).filter((id) => !found.excepted.includes(id));
  return { kind: 'done', jobs: wanted, ...(by === undefined ? {} : { by }) };
};
