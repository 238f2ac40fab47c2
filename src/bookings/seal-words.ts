import type { Say } from '../words/catalogue.ts';
import type { SealHow } from './booking-state.ts';

/** What people of one language say of how a seal sits, longest phrases first. */
export type SealWords = { readonly [key in 'up' | 'down' | 'shim' | 'noShim' | 'rubber' | 'silicone' | 'group' | 'between']: string };

const literal = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
const anyOf = (list: string): string => list.split('|').toSorted((a, b) => b.length - a.length).map(literal).join('|');

export const sealWords = (say: Say): SealWords => ({
  up: anyOf(say('booking.words.seal.up')), down: anyOf(say('booking.words.seal.down')), shim: anyOf(say('booking.words.seal.shim')), noShim: anyOf(say('booking.words.seal.no-shim')),
  rubber: anyOf(say('booking.words.seal.rubber')), silicone: anyOf(say('booking.words.seal.silicone')), group: anyOf(say('booking.words.group')), between: anyOf(say('booking.words.seal.between')),
});

/** Thicker than this is no shim but a slip of the pen. */
const THICKEST = 3;

export type SealSaid = { readonly how: SealHow | undefined; readonly group: number | null; /** What is left of the words. */ readonly rest: string };

/** Which side up, shim and stuff among the words, and which group; the rest is for whoever knows parts. */
export const sealSaid = (text: string, words: SealWords): SealSaid => {
  let rest = ` ${text.toLowerCase().replace(/\s+/g, ' ').trim()} `;
  const take = (pattern: string, good: (value: string) => boolean = () => true): string | undefined => {
    const found = new RegExp(`(?<![\\p{L}\\p{N}.,])(?:${pattern})(?![\\p{L}\\p{N}])`, 'u').exec(rest);
    const value = found?.[1] ?? '';
    if (!found || !good(value)) return undefined;
    rest = `${rest.slice(0, found.index)} ${rest.slice(found.index + found[0].length)}`;
    return value;
  };
  const isShim = (value: string): boolean => Number(value.replace(',', '.')) > 0 && Number(value.replace(',', '.')) <= THICKEST;
  // A whole number before a shim says how many, not how thick.
  const group = take(`(?:${words.group}) ?([1-6])(?![.,]\\d)`);
  const none = take(words.noShim);
  const shim = none === undefined ? (take(`(?:${words.shim})(?: (?:${words.between}))? ?(\\d+(?:[.,]\\d+)?) ?(?:mm)?`, isShim) ?? take(`(\\d+[.,]\\d+|\\d+(?= ?mm)) ?(?:mm)? ?(?:${words.shim})`, isShim)) : undefined;
  const side = take(words.up) === undefined ? (take(words.down) === undefined ? null : 'down') : 'up';
  const material = take(words.rubber) === undefined ? (take(words.silicone) === undefined ? null : 'silicone') : 'rubber';
  const shimMm = none === undefined ? (shim === undefined ? null : Number(shim.replace(',', '.'))) : 0;
  const said = side !== null || material !== null || shimMm !== null;
  if (said || group !== undefined) while (take(`${words.between}`) !== undefined);
  return { how: said ? { sideUp: side, shimMm, material } : undefined, group: group === undefined ? null : Number(group), rest: rest.replace(/[+&;:]+/g, ' ').replace(/(?<!\d)[,.]|[,.](?!\d)/g, ' ').replace(/\s+/g, ' ').trim() };
};
