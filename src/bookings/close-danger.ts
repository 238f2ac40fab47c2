import type { Say } from '../words/catalogue.ts';
import { plainly } from './typed-meaning.ts';

/** A danger that the words tell of; not sure where they can be meant otherwise. */
export type DangerSaid = { readonly kind: string; readonly sure: boolean };

/** "no burning smell", "no smell of gas": what is not there, up to three words, is no danger. */
const withoutDenied = (say: Say, text: string): string =>
  text.replace(new RegExp(`(?<![\\p{L}'])(?:${say('booking.words.without')})(?: (?!(?:${say('booking.words.but')})(?![\\p{L}]))[\\p{L}']+){1,3}`, 'giu'), ' ');

/**
 * What a technician types while closing may tell of a danger at this moment or of what was found and mended. `now`: it goes
 * before every question; `ask`: it may be either; nothing: an answer as any other.
 */
export const dangerWhileClosing = (say: Say, text: string, dangerIn: (text: string) => DangerSaid | undefined): { readonly kind: string; readonly when: 'now' | 'ask' } | undefined => {
  const there = withoutDenied(say, text);
  const told = dangerIn(there);
  if (!told) return undefined;
  const words = ` ${plainly(there)} `;
  const mended = say('booking.words.mended').split('|').some((word) => words.includes(` ${word} `));
  if (told.sure) return { kind: told.kind, when: mended ? 'ask' : 'now' };
  return mended ? undefined : { kind: told.kind, when: 'ask' };
};
