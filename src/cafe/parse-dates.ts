import { LAST_DAY, parseDay, toDay, fromDay, dayNumberOf, monthLength, civilOf, type DayNumber, type LocalDate } from '../time/local-date.ts';
import { folded } from './fold.ts';

/** One date, or the first and the last of several. */
export type DateRange = { readonly from: LocalDate; readonly to: LocalDate };

/** Names of the months in a language, with what people cut them down to. */
const monthsOf = (locale: string): ReadonlyMap<string, number> => {
  const months = Array.from({ length: 12 }, (_, i) => i + 1);
  return new Map(
    [...new Set(['en', locale])].flatMap((language) =>
      (['long', 'short'] as const).flatMap((month) => months.map((n): readonly [string, number] => [folded(new Intl.DateTimeFormat(language, { month, timeZone: 'UTC' }).format(Date.UTC(2024, n - 1, 15))).replace(/\W/g, ''), n])),
    ),
  );
};

const fits = (year: number, month: number, day: number): boolean => month >= 1 && month <= 12 && day >= 1 && day <= monthLength(year, month);

/** The day of a year, or without one the next such day that is not long past. */
const dayIn = (month: number, day: number, year: number | undefined, today: DayNumber): DayNumber | undefined => {
  const { year: thisYear } = civilOf(today);
  const years = year === undefined ? [thisYear, thisYear + 1, thisYear + 2, thisYear + 3, thisYear + 4] : [year < 100 ? 2000 + year : year];
  const days = years.filter((each) => fits(each, month, day)).map((each) => dayNumberOf(each, month, day));
  return days.find((each) => year !== undefined || each >= today);
};

type Part = { readonly day?: number; readonly month?: number; readonly year?: number; readonly exact?: DayNumber };

const number = (text: string | undefined): { readonly year: number } | Record<never, never> => (text === undefined ? {} : { year: Number(text) });

/** `24 dec 2027`, `24.12.`, `24/12`, `2027-12-24`, `tomorrow`, `24`. Undefined when it is no date, or could be two. */
const partOf = (text: string, months: ReadonlyMap<string, number>, today: DayNumber): Part | undefined => {
  const plain = text.trim();
  const iso = parseDay(plain.replaceAll('_', '-'));
  if (iso !== null) return { exact: iso };
  if (/^today$/i.test(plain)) return { exact: today };
  if (/^tomorrow$/i.test(plain)) return { exact: today + 1 };
  const numeric = /^(\d{1,2})([./])(\d{1,2})(?:[./](\d{2,4})?)?$/.exec(plain);
  if (numeric) {
    const [, day, sign, month, year] = numeric;
    // "5/4" is April to some and May to others.
    return sign === '/' && Number(day) <= 12 && day !== month ? undefined : { day: Number(day), month: Number(month), ...number(year) };
  }
  const worded = /^(\d{1,2})(?:st|nd|rd|th|\.)?(?:\s+(?:of\s+|de\s+)?(\p{L}+)\.?(?:\s+(\d{4}))?)?$/u.exec(plain);
  const turned = /^(\p{L}+)\.?\s+(\d{1,2})(?:st|nd|rd|th)?(?:,?\s+(\d{4}))?$/u.exec(plain);
  const [day, name, year] = worded ? [worded[1], worded[2], worded[3]] : turned ? [turned[2], turned[1], turned[3]] : [];
  const month = name === undefined ? undefined : months.get(folded(name));
  if (day === undefined || (name !== undefined && month === undefined)) return undefined;
  return { day: Number(day), ...(month === undefined ? {} : { month }), ...number(year) };
};

const settle = (part: Part, other: Part, today: DayNumber): DayNumber | undefined => {
  if (part.exact !== undefined) return part.exact;
  const month = part.month ?? other.month;
  return part.day === undefined || month === undefined ? undefined : dayIn(month, part.day, part.year ?? other.year, today);
};

const LONGEST = 400;
/** Their own hyphens must not be taken for the one between two dates. */
const ISO = /(\d{4})-(\d\d)-(\d\d)/g;

/**
 * `24 dec`, `24-26 dec`, `24 dec to 2 jan`: the dates meant, from today on where no year is said. Undefined when it
 * cannot be read, when day and month could be confused, or for more than 400 days.
 */
export const parseDates = (text: string, today: LocalDate, locale: string): DateRange | undefined => {
  const months = monthsOf(locale);
  const now = toDay(today);
  const pieces = text.replace(ISO, '$1_$2_$3').split(/\s+(?:to|until|till|bis|hasta|al?|fino)\s+|\s*[–—]\s*|\s+-\s+|(?<=\d|\p{L})-(?=\d|\p{L})/u);
  const [first, second = first, ...more] = pieces.map((piece) => partOf(piece, months, now));
  if (!first || !second || more.length > 0) return undefined;
  const from = settle(first, second, now);
  const end = settle(second, first, from ?? now);
  return from === undefined || end === undefined || end < from || end - from > LONGEST || end > LAST_DAY ? undefined : { from: fromDay(from), to: fromDay(end) };
};
