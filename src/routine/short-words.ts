import { asWord, type Nameable } from './reply-words.ts';
import type { Lexicon } from './lexicons.ts';

/** What a short message means that tells of no job done, while a list is open. */
export type ShortReply =
  /** They are at it, or begin soon: nothing is marked. */
  | { readonly kind: 'wait' }
  /** Ask again, after so many minutes where they say so. `jobs`: those named, else all. */
  | { readonly kind: 'later'; readonly minutes: number | null; readonly jobs: readonly string[] }
  /** Not today. */
  | { readonly kind: 'over'; readonly jobs: readonly string[] }
  /** Numbers of the list and nothing else. */
  | { readonly kind: 'numbers'; readonly jobs: readonly string[] }
  | { readonly kind: 'back' }
  /** "Rinsed", and nothing else. */
  | { readonly kind: 'rinsed' }
  | { readonly kind: 'not for us' };

const LONGEST = 9;
const MOST_MINUTES = 240;

const holds = (plain: string, phrases: readonly string[]): boolean => phrases.some((phrase) => ` ${plain} `.includes(` ${phrase} `));

const minutesIn = (words: readonly string[], lexicon: Lexicon): number | null => {
  const plain = words.join(' ');
  if (holds(plain, lexicon.halfHour)) return 30;
  if (holds(plain, lexicon.hour)) return 60;
  const at = words.findIndex((word, i) => /^\d{1,3}$/.test(word) && lexicon.minutes.includes(words[i + 1] ?? ''));
  const minutes = at < 0 ? 0 : Number(words[at]);
  return minutes >= 5 && minutes <= MOST_MINUTES ? minutes : null;
};

/** Whole messages that need no list in front of them. */
export const readWhole = (words: readonly string[], lexicon: Lexicon): ShortReply | undefined => {
  const plain = words.filter((word) => word !== '?').join(' ');
  if (words.includes('?')) return undefined;
  if (lexicon.back.includes(plain)) return { kind: 'back' };
  if (words.some((word) => lexicon.rinsed.includes(word)) && words.every((word) => lexicon.rinsed.includes(word) || lexicon.filler.includes(word) || lexicon.all.includes(word) || word === 'out')) return { kind: 'rinsed' };
  return words.length <= LONGEST && holds(plain, lexicon.notForUs) ? { kind: 'not for us' } : undefined;
};

/** Puts a list off, says that it is under way, or names numbers: only where every word is known to be about that. */
export const readShort = (words: readonly string[], lexicon: Lexicon, jobs: readonly Nameable[]): ShortReply | undefined => {
  if (words.length > LONGEST || words.includes('?')) return undefined;
  const isTime = (i: number): boolean => /^\d{1,3}$/.test(words[i] ?? '') && lexicon.minutes.includes(words[i + 1] ?? '');
  const isNamed = ({ position, names }: Nameable, word: string): boolean => String(position) === word || asWord(word, names);
  const usual = [lexicon.filler, lexicon.beside, lexicon.wait, lexicon.later, lexicon.over].flat();
  if (!words.every((word, i) => isTime(i) || usual.includes(word) || jobs.some((job) => isNamed(job, word)))) return undefined;
  const ids = jobs.filter((job) => words.some((word, i) => !isTime(i) && !usual.includes(word) && isNamed(job, word))).map(({ id }) => id);
  const some = (list: readonly string[]): boolean => words.some((word) => list.includes(word));
  const minutes = minutesIn(words, lexicon);
  if (some(lexicon.over)) return { kind: 'over', jobs: ids };
  if (minutes !== null || some(lexicon.later)) return { kind: 'later', minutes, jobs: ids };
  if (ids.length === 0) return some(lexicon.wait) ? { kind: 'wait' } : undefined;
  return words.every((word) => /^\d{1,2}$/.test(word) || lexicon.filler.includes(word)) ? { kind: 'numbers', jobs: ids } : undefined;
};
