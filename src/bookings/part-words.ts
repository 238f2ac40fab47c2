import type { PartId } from '../parts/ledger.ts';
import { sealPart } from '../parts/seal-part.ts';
import { shimPart } from '../parts/shim-part.ts';
import type { Say, Words } from '../words/catalogue.ts';
import type { PartCount } from './kit.ts';
import { sealWords, type SealWords } from './seal-words.ts';

/** How people name parts in one language. */
export type PartNames = { readonly byName: ReadonlyMap<string, PartId>; readonly seals: readonly string[]; readonly shims: readonly string[]; readonly shimBeside: readonly string[]; readonly and: string; readonly how: SealWords };

const plainly = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}.,]+/gu, ' ').trim();

/** Names of the parts of the book, in the singular and the plural. */
export const partNames = (say: Say, parts: readonly PartId[]): PartNames => ({
  byName: new Map(parts.filter((part) => part !== 'seal').flatMap((part) => [1, 2].map((count) => [plainly(say(`booking.part.${part}`, { count })).replace(/^2 /, ''), part] as const))),
  seals: say('booking.words.seal').split('|'),
  shims: say('booking.words.shim').split('|'),
  shimBeside: say('booking.words.shim.beside').split('|'),
  and: say('booking.words.and'),
  how: sealWords(say),
});

/** The names in each language, made once. */
export const partNamesIn = (words: Words, parts: readonly PartId[]): ((locale: string) => PartNames) => {
  const known = new Map<string, PartNames>();
  return (given) => {
    const locale = words.nearest(given);
    const names = known.get(locale) ?? partNames(words.in(locale), parts);
    known.set(locale, names);
    return names;
  };
};

/** Sizes of group seals run from 5 to 10 mm by halves. */
const isSize = (value: number): boolean => value >= 5 && value <= 10 && Number.isInteger(value * 2);

/** Shims are no higher than this; common practice, no source. */
const SHIM_MOST = 3;

const numbersIn = (text: string): readonly { readonly value: number; readonly mm: boolean }[] =>
  [...text.matchAll(/(\d+(?:[.,]\d+)?)(\s*mm)?/g)].map((found) => ({ value: Number((found[1] ?? '').replace(',', '.')), mm: found[2] !== undefined }));

/** "2 shims 0.5", "0.5 mm shims: 2"; without a height it is any shim: `shim`. */
const shimIn = (text: string): PartCount | undefined => {
  const numbers = numbersIn(text);
  const height = numbers.find(({ mm }) => mm) ?? numbers.find(({ value }) => !Number.isInteger(value)) ?? (numbers.length === 2 ? numbers[1] : undefined);
  const count = numbers.find((number) => number !== height)?.value ?? 1;
  if (numbers.length > 2 || !Number.isInteger(count) || (height && !(height.value > 0 && height.value <= SHIM_MOST))) return undefined;
  return { part: height ? shimPart(height.value) : 'shim', count };
};

const sealIn = (text: string): PartCount | undefined => {
  const numbers = numbersIn(text);
  const size = numbers.find(({ mm }) => mm) ?? numbers.find(({ value }) => !Number.isInteger(value)) ?? numbers.findLast(({ value }) => isSize(value));
  if (!size || !isSize(size.value) || numbers.length > 2) return undefined;
  const count = numbers.find((number) => number !== size)?.value ?? 1;
  return Number.isInteger(count) ? { part: sealPart(size.value), count } : undefined;
};

/** "2 screens", "screens: 2", "2 x 8.5 mm seals". Undefined: no part of the book, or words beside it. */
export const partIn = (said: string, { byName, seals, shims, shimBeside }: PartNames): PartCount | undefined => {
  const text = plainly(said.replace(/×/g, ' x ').replace(/(\d)x\b/gi, '$1 x ').replace(/\bx(\d)/gi, 'x $1'));
  const words = text.split(' ').filter((word) => word !== 'x' && word !== 'of');
  const known = (names: readonly string[]) => (word: string): boolean => names.includes(word) || word === 'mm' || /^\d+(?:[.,]\d+)?(?:mm)?$/.test(word);
  if (words.some((word) => shims.includes(word)) && words.every(known([...shims, ...shimBeside]))) return shimIn(words.join(' '));
  const isSeal = words.some((word) => seals.includes(word));
  if (isSeal) return words.every(known(seals)) ? sealIn(words.join(' ')) : undefined;
  const numbers = words.filter((word) => /^\d+$/.test(word));
  const name = words.filter((word) => !/^\d+$/.test(word)).join(' ');
  const part = byName.get(name);
  return part === undefined || numbers.length > 1 ? undefined : { part, count: numbers[0] === undefined ? 1 : Number(numbers[0]) };
};

export const entriesOf = (said: string, { and }: PartNames): readonly string[] => said.split(new RegExp(`\\s*(?:[;\\n]|,(?!\\d)|\\s${and}\\s)\\s*`, 'iu')).map((entry) => entry.trim()).filter((entry) => entry !== '');

/** The entries of a list of parts, what could be read and what could not, as written. Commas inside numbers stay. */
export const partsIn = (said: string, names: PartNames): { readonly parts: readonly PartCount[]; readonly unread: readonly string[] } => {
  const read = entriesOf(said, names).map((entry) => ({ entry, part: partIn(entry, names) }));
  const counts = new Map<PartId, number>();
  for (const { part } of read) if (part) counts.set(part.part, (counts.get(part.part) ?? 0) + part.count);
  return { parts: [...counts].map(([part, count]) => ({ part, count })), unread: read.flatMap(({ entry, part }) => (part ? [] : [entry])) };
};
