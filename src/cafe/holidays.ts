import { createRequire } from 'node:module';
import type { LocalDate } from '../time/local-date.ts';

export type Holiday = { readonly date: LocalDate; readonly name: string };

/** Dates of which can be asked whether they are a holiday. */
export type HolidayDates = Pick<ReadonlySet<LocalDate>, 'has' | 'size'>;

type Calendar = { readonly getHolidays: (year: number, language?: string) => readonly { readonly date: string; readonly name: string; readonly type: string }[] };
type Library = new (country: string, region?: string) => Calendar;

const require = createRequire(import.meta.url);
const calendars = new Map<string, Calendar>();
const years = new Map<string, readonly Holiday[]>();

// The library brings 25 MB of data, which a start without a café in need of it should not pay for.
const calendarFor = (country: string, region: string | null): Calendar => {
  const key = `${country} ${region ?? ''}`;
  const known = calendars.get(key);
  if (known) return known;
  const loaded = require('date-holidays') as Library & { readonly default?: Library };
  const made = new (loaded.default ?? loaded)(country, region ?? undefined);
  calendars.set(key, made);
  return made;
};

/** Public holidays of a country in a year, in order, as they are in one region of it where one is given; none for a country that the library does not know. */
export const holidaysIn = (country: string, year: number, locale: string, region: string | null = null): readonly Holiday[] => {
  const key = `${country} ${region ?? ''} ${year} ${locale}`;
  const known = years.get(key);
  if (known) return known;
  const all = calendarFor(country, region).getHolidays(year, locale) as ReturnType<Calendar['getHolidays']> | false;
  const found = (all || []).filter(({ type }) => type === 'public').map(({ date, name }) => ({ date: date.slice(0, 10) as LocalDate, name }));
  const once = found.filter((one, i) => found.findIndex(({ date }) => date === one.date) === i);
  years.set(key, once);
  return once;
};

/** Every public holiday of a country or of one region of it, looked up a year at a time. */
export const holidayDates = (country: string, region: string | null = null): HolidayDates => ({
  size: 1,
  has: (date) => holidaysIn(country, Number(date.slice(0, 4)), 'en', region).some((one) => one.date === date),
});
