import { DateTime } from 'luxon';
import type { Instant } from '../time/instant.ts';

/** Who reads: their language and the zone whose wall clock counts for them (the café's). */
export type Reader = { readonly locale: string; readonly zone: string };

/** English without a region is written the way a café reads it: day before month, no comma before "and". */
export const formatLocale = (locale: string): string => (locale === 'en' ? 'en-GB' : locale);

const at = (moment: Instant, { zone, locale }: Reader): DateTime => DateTime.fromMillis(moment, { zone, locale: formatLocale(locale) });

/** `22:31`, on the wall clock of the reader's zone; 24 hours everywhere, since labels have no room for doubt. */
export const clockTime = (moment: Instant, reader: Reader): string => at(moment, reader).toFormat('HH:mm');

/** `Thu 15 Oct`. */
export const shortDate = (moment: Instant, reader: Reader): string => at(moment, reader).toFormat('ccc d LLL');

/** `Thu 15 Oct 15:30`. */
export const dateAndTime = (moment: Instant, reader: Reader): string => `${shortDate(moment, reader)} ${clockTime(moment, reader)}`;

/** The weekday alone, in full. */
export const weekday = (moment: Instant, reader: Reader): string => at(moment, reader).toFormat('cccc');

/** Money in whole units, as people say it: `€140`. */
export const money = (amount: number, currency: string, locale: string): string =>
  new Intl.NumberFormat(formatLocale(locale), { style: 'currency', currency, maximumFractionDigits: 0 }).format(amount);

/** `20,000`, `20.000`, `20 000`: thousands grouped as the reader's language does, at most one decimal. */
export const figure = (value: number, locale: string): string => new Intl.NumberFormat(formatLocale(locale), { maximumFractionDigits: 1, useGrouping: 'always' }).format(value);

/** A list in words: `1, 2 and 4`. */
export const listed = (items: readonly string[], locale: string): string => new Intl.ListFormat(formatLocale(locale), { type: 'conjunction' }).format(items);

/** `8 mm`, `8.5 mm`. */
export const millimetres = (mm: number, locale: string): string => `${new Intl.NumberFormat(formatLocale(locale), { maximumFractionDigits: 2 }).format(mm)}\u00a0mm`;

/** At most `most` code points, an ellipsis where something was cut; half emojis and NULs removed. */
export const shortened = (text: string, most: number): string => {
  const clean = Array.from(text.replaceAll("\u0000", "").toWellFormed());
  return clean.length <= most ? clean.join('') : `${clean.slice(0, most - 1).join('')}…`;
};

/** A chance as people say it: tenths from 0 to 10, where 0 and 10 are kept for what is almost out of the question or almost certain. */
export const inTen = (chance: number): number => (chance >= 0.95 ? 10 : chance < 0.05 ? 0 : Math.min(9, Math.max(1, Math.round(chance * 10))));

/** The widest line a phone shows without breaking it in an odd place. */
export const LINE_WIDTH = 64;

/** A text as lines of at most 64 characters, broken between words; a line break in it stays one. */
export const inLines = (text: string, width = LINE_WIDTH): readonly string[] =>
  text.split('\n').flatMap((part) =>
    part.split(' ').reduce<readonly string[]>((lines, word) => {
      const last = lines.at(-1);
      return last !== undefined && `${last} ${word}`.length <= width ? [...lines.slice(0, -1), `${last} ${word}`] : [...lines, word];
    }, []),
  );
