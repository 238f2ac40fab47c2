import { weekdayOf, LAST_DAY, parseDay, toDay, fromDay, dayNumberOf, monthLength, civilOf, type DayNumber, type LocalDate } from '../time/local-date.ts';
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

/** Whole months by their names: the present one from today on. */
const monthsAhead = (language: string, today: DayNumber): readonly (readonly [string, { readonly from: DayNumber; readonly to: DayNumber }])[] => {
  const { year, month: present } = civilOf(today);
  return Array.from({ length: 12 }, (_, i) => i + 1).flatMap((month) => {
    const of = month < present ? year + 1 : year;
    const first = dayNumberOf(of, month, 1);
    const whole = { from: month === present ? today : first, to: first + monthLength(of, month) - 1 };
    return (['long', 'short'] as const).map((width) => [folded(new Intl.DateTimeFormat(language, { month: width, timeZone: 'UTC' }).format(Date.UTC(2024, month - 1, 15))), whole] as const);
  });
};

/** Days and weeks named by where they lie from today, in a language: "tomorrow", "friday", "next week". */
const namedOf = (locale: string, today: DayNumber): ReadonlyMap<string, { readonly from: DayNumber; readonly to: DayNumber }> => {
  const weekday = weekdayOf(today);
  const monday = today + 8 - weekday;
  const day = (at: DayNumber) => ({ from: at, to: at });
  return new Map(
    [...new Set(['en', locale])].flatMap((language) => {
      const relative = new Intl.RelativeTimeFormat(language, { numeric: 'auto' });
      const names = (width: 'long' | 'short') => [1, 2, 3, 4, 5, 6].map((ahead) => [folded(new Intl.DateTimeFormat(language, { weekday: width, timeZone: 'UTC' }).format(Date.UTC(2024, 0, weekday + ahead))), day(today + ahead)] as const);
      return [
        // The day of the week it is today could be today or in a week: it is left to a date.
        ...names('long'), ...names('short'),
        [folded(relative.format(0, 'day')), day(today)] as const, [folded(relative.format(1, 'day')), day(today + 1)] as const,
        [folded(relative.format(1, 'week')), { from: monday, to: monday + 6 }] as const,
        ...monthsAhead(language, today),
        // From today to Sunday.
        [folded(relative.format(0, 'week')), { from: today, to: monday - 1 }] as const,
      ];
    }),
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

type Part = { readonly last?: DayNumber; readonly day?: number; readonly month?: number; readonly year?: number; readonly exact?: DayNumber };

/** In front of the name of a month. */
const ALL_OF = /^(?:all of|all|the whole of|the whole|whole|in|during|tutto il mese di|tutto|nel mese di|in tutto)\s+/iu;

const number = (text: string | undefined): { readonly year: number } | Record<never, never> => (text === undefined ? {} : { year: Number(text) });

/** `24 dec 2027`, `24.12.`, `24/12`, `2027-12-24`, `tomorrow`, `24`. Undefined when it is no date, or could be two. */
const partOf = (text: string, months: ReadonlyMap<string, number>, named: ReturnType<typeof namedOf>): Part | undefined => {
  const plain = text.trim();
  const iso = parseDay(plain.replaceAll('_', '-'));
  if (iso !== null) return { exact: iso };
  const relative = named.get(folded(plain.replace(ALL_OF, '')));
  if (relative) return { exact: relative.from, last: relative.to };
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
/** "Until Monday" begins today and ends the day before: a list too many is a smaller harm than one that does not come. */
const UNTIL = /^(?:until|till|bis|hasta|fino a(?:l|lla|l')?|fino)\s+(.+)$/iu;
/** Their own hyphens must not be taken for the one between two dates. */
const ISO = /(\d{4})-(\d\d)-(\d\d)/g;

/**
 * `24 dec`, `24-26 dec`, `24 dec to 2 jan`, `friday`, `next week`, `until monday` (to the day before): the dates meant, from today on where no year is said. Undefined when it
 * cannot be read, when day and month could be confused, or for more than 400 days.
 */
export const parseDates = (text: string, today: LocalDate, locale: string): DateRange | undefined => {
  const months = monthsOf(locale);
  const now = toDay(today);
  const named = namedOf(locale, now);
  const until = UNTIL.exec(text.trim())?.[1];
  const pieces = (until ?? text).replace(ISO, '$1_$2_$3').split(/\s+(?:to|until|till|bis|hasta|al?|fino)\s+|\s*[–—]\s*|\s+-\s+|(?<=\d|\p{L})-(?=\d|\p{L})/u);
  const [first, second = first, ...more] = pieces.map((piece) => partOf(piece, months, named));
  if (!first || !second || more.length > 0) return undefined;
  const begins = settle(first, second, now);
  const from = until === undefined ? begins : now;
  const last = second.last ?? settle(second, first, begins ?? now);
  const end = until === undefined || last === undefined ? last : last - 1;
  return from === undefined || end === undefined || end < from || end - from > LONGEST || end > LAST_DAY ? undefined : { from: fromDay(from), to: fromDay(end) };
};
