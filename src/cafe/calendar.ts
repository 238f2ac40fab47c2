import { z } from 'zod';
import type { LocalDate } from '../time/local-date.ts';
import { holidayDates, type HolidayDates } from './holidays.ts';
import { NEVER, type CafeHours, type HoursException, type Week, type WeekSpans } from './hours.ts';
import type { Cafe } from './records.ts';

const spanSchema = z.object({ from: z.number().int(), to: z.number().int() });
const daySchema = z.array(spanSchema);
export const spansSchema = z.tuple([daySchema, daySchema, daySchema, daySchema, daySchema, daySchema, daySchema]);
export const weekSchema = z.object({ days: spansSchema, holidays: daySchema });
const dateSchema = z.string().transform((text) => text as LocalDate);
const exceptionsSchema = z.array(
  z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('open'), date: dateSchema, spans: daySchema }),
    z.object({ kind: z.literal('closed'), from: dateSchema, to: dateSchema }),
  ]),
);

/** What the columns hours, exceptions, quiet and rush of a café hold, as text. */
export const writeWeek = (week: Week): string => JSON.stringify(week);
export const writeExceptions = (exceptions: readonly HoursException[]): string => JSON.stringify(exceptions);
export const writeSpans = (spans: WeekSpans): string => JSON.stringify(spans);

const readSpans = (text: string | null): WeekSpans | null => (text === null ? null : spansSchema.parse(JSON.parse(text)));

export const readExceptions = (text: string): readonly HoursException[] => exceptionsSchema.parse(JSON.parse(text));

type HoursColumns = Pick<Cafe, 'zone' | 'hours' | 'exceptions' | 'cleaning_before' | 'quiet' | 'rush'> & Partial<Pick<Cafe, 'country' | 'region' | 'holiday_rule'>>;

const NONE: HolidayDates = new Set();

/** Holidays count by themselves only where the owner said that the week's word on them holds; else single dates say it. */
const holidaysOf = ({ country, region, holiday_rule }: HoursColumns): HolidayDates => (holiday_rule === 'week' && country ? holidayDates(country, region) : NONE);

/** The hours of a café as they are computed with; null while they are not known. */
export const calendarOf = (cafe: HoursColumns, holidays: HolidayDates = holidaysOf(cafe)): CafeHours | null =>
  cafe.hours === null
    ? null
    : {
        zone: cafe.zone,
        week: weekSchema.parse(JSON.parse(cafe.hours)),
        exceptions: readExceptions(cafe.exceptions),
        holidays,
        cleaningMinutes: cafe.cleaning_before,
        quiet: readSpans(cafe.quiet),
        rush: readSpans(cafe.rush) ?? NEVER,
      };
