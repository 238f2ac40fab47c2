import { nearly } from '../cafe/fold.ts';

/** A job one may name: by its number on the list, or by words. */
export type Nameable = { readonly id: string; readonly position: number; readonly names: readonly string[]; readonly group?: number | null };

const TICKS = /[\u2705\u2714\u2611\u{1F44D}\u{1F44C}\u{1F197}]\uFE0F?[\u{1F3FB}-\u{1F3FF}]?/gu;

/** Lower case, no accents, ticks and thumbs as "done", every other sign a space; a question mark stays. */
export const wordsOf = (text: string): readonly string[] =>
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
    // An elided article goes, an hour and half of one stay apart.
    .replace(/\b(mezz|un)'ora\b/g, '$1 ora')
    .replace(/(?<!\p{L})\p{L}{1,6}'(?=\p{L}{3})/gu, '')
    .replace(/\?/g, ' ? ')
    .replace(/[^\p{L}\p{N}?' ]+/gu, ' ')
    .split(/\s+/)
    .filter((word) => word !== '' && word !== "'");

const LONG_ENOUGH_TO_MISTYPE = 4;

/** In the list, or nearly: a word of four letters with one slip. */
export const asWord = (word: string, list: readonly string[], unlike: readonly string[] = []): boolean =>
  list.includes(word) || (word.length >= LONG_ENOUGH_TO_MISTYPE && !unlike.includes(word) && list.some((each) => each.length >= LONG_ENOUGH_TO_MISTYPE && nearly(word, each)));

export const isStretched = (word: string, list: readonly string[]): boolean => list.includes(word.replace(/(.)\1+/gu, '$1'));
