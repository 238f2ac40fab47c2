import type { Instant } from '../time/instant.ts';
import {
  type DayNumber,
  type LocalDate,
  fromDay,
  toDay,
  weekdayOf,
} from '../time/local-date.ts';
import type { HolidayDates } from './holidays.ts';
import { dayAt, hasDay, instantOnDay } from '../time/wall-time.ts';

/**
 * Minutes after midnight of the date they belong to, `from` 0 to 1439, `to` above `from` and at
 * most 2160, no longer than a day: a span past midnight belongs to the evening on which it began.
 */
export type Span = { readonly from: number; readonly to: number };

/** In order, apart from each other; empty means closed. */
export type DaySpans = readonly Span[];

/** Monday first. */
export type WeekSpans = readonly [
  DaySpans, DaySpans, DaySpans, DaySpans, DaySpans, DaySpans, DaySpans,
];

export type Week = { readonly days: WeekSpans; readonly holidays: DaySpans };

/** Both ends of `closed` are included. Of several on one date the last in the list holds. */
export type HoursException =
  | { readonly kind: 'open'; readonly date: LocalDate; readonly spans: DaySpans }
  | { readonly kind: 'closed'; readonly from: LocalDate; readonly to: LocalDate };

/** All that a café says about its hours. */
export type CafeHours = {
  readonly zone: string;
  readonly week: Week;
  readonly exceptions: readonly HoursException[];
  /** Dates on which `week.holidays` takes the place of the weekday's hours. */
  readonly holidays: HolidayDates;
  /** Cleaning begins this many minutes before closing. */
  readonly cleaningMinutes: number;
  /** Null: not said. */
  readonly quiet: WeekSpans | null;
  readonly rush: WeekSpans;
};

/** An opening, both ends as moments. */
export type OpenTime = { readonly opens: Instant; readonly closes: Instant };

export const NEVER: WeekSpans = [[], [], [], [], [], [], []];

// No café stays closed this long and still wants to be reminded.
export const LONGEST_CLOSURE_DAYS = 400;

const covers = (exception: HoursException, date: LocalDate): boolean =>
  exception.kind === 'open'
    ? exception.date === date
    : exception.from <= date && date <= exception.to;

/** The spans of a week's plan on a day. */
export const plannedOn = (week: WeekSpans, day: DayNumber): DaySpans =>
  week[weekdayOf(day) - 1] ?? [];

/** The opening hours that begin on a day, exceptions and holidays included. */
export const spansOnDay = (cafe: CafeHours, day: DayNumber): DaySpans => {
  if (!hasDay(day, cafe.zone)) return [];
  if (cafe.exceptions.length > 0 || cafe.holidays.size > 0) {
    const date = fromDay(day);
    const exception = cafe.exceptions.findLast((one) => covers(one, date));
    if (exception !== undefined) return exception.kind === 'open' ? exception.spans : [];
    if (cafe.holidays.has(date)) return cafe.week.holidays;
  }
  return plannedOn(cafe.week.days, day);
};

export const isOpenDay = (cafe: CafeHours, day: DayNumber): boolean =>
  spansOnDay(cafe, day).length > 0;

/** Shut on a day on which the week would have it open: a holiday or a day away, on which nobody comes. */
export const isShutOut = (cafe: CafeHours, day: DayNumber): boolean => !isOpenDay(cafe, day) && plannedOn(cafe.week.days, day).length > 0;

export const isOpenOn = (cafe: CafeHours, date: LocalDate): boolean => isOpenDay(cafe, toDay(date));

const timesOf = (cafe: CafeHours, day: DayNumber, { from, to }: Span): OpenTime => {
  const opens = instantOnDay(day, from, cafe.zone);
  const closes = instantOnDay(day, to, cafe.zone);
  // A skipped opening may move past a closing that is not skipped: then it is not open at all.
  return { opens, closes: closes > opens ? closes : opens };
};

/** The openings that begin on a date, the last of which may end on the next. */
export const openTimesOn = (cafe: CafeHours, date: LocalDate): readonly OpenTime[] => {
  const day = toDay(date);
  return spansOnDay(cafe, day).map((span) => timesOf(cafe, day, span));
};

/** When the door first opens on a day, null if it stays shut. */
export const opensOnDay = (cafe: CafeHours, day: DayNumber): Instant | null => {
  const first = spansOnDay(cafe, day)[0];
  return first === undefined ? null : timesOf(cafe, day, first).opens;
};

/** When the door last closes, which may be on the next calendar day; null if it stays shut. */
export const closesOnDay = (cafe: CafeHours, day: DayNumber): Instant | null => {
  const last = spansOnDay(cafe, day).at(-1);
  return last === undefined ? null : timesOf(cafe, day, last).closes;
};

export const openingOf = (cafe: CafeHours, date: LocalDate): Instant | null =>
  opensOnDay(cafe, toDay(date));

export const closingOf = (cafe: CafeHours, date: LocalDate): Instant | null =>
  closesOnDay(cafe, toDay(date));

/** Whether a moment falls into spans that are looked up by day, those of the evening before too. */
export const isWithin = (
  spansOf: (day: DayNumber) => DaySpans,
  zone: string,
  at: Instant,
): boolean => {
  const { day } = dayAt(at, zone);
  return [day - 1, day].some((one) =>
    spansOf(one).some(
      ({ from, to }) => instantOnDay(one, from, zone) <= at && at < instantOnDay(one, to, zone),
    ),
  );
};

export const isOpenAt = (cafe: CafeHours, at: Instant): boolean =>
  isWithin((day) => spansOnDay(cafe, day), cafe.zone, at);

/** The first open day on or after `day`, null if there is none in the next 400 days. */
export const openDayFrom = (cafe: CafeHours, day: DayNumber): DayNumber | null => {
  for (let one = day; one <= day + LONGEST_CLOSURE_DAYS; one += 1)
    if (isOpenDay(cafe, one)) return one;
  return null;
};

/** The last open day on or before `day`, null if there is none in the 400 days before. */
export const openDayUpTo = (cafe: CafeHours, day: DayNumber): DayNumber | null => {
  for (let one = day; one >= day - LONGEST_CLOSURE_DAYS; one -= 1)
    if (isOpenDay(cafe, one)) return one;
  return null;
};

const dateOrNull = (day: DayNumber | null): LocalDate | null => (day === null ? null : fromDay(day));

export const nextOpenDate = (cafe: CafeHours, after: LocalDate): LocalDate | null =>
  dateOrNull(openDayFrom(cafe, toDay(after) + 1));

export const lastOpenDate = (cafe: CafeHours, before: LocalDate): LocalDate | null =>
  dateOrNull(openDayUpTo(cafe, toDay(before) - 1));

/** When the door next opens, strictly after `after`. */
export const nextOpening = (cafe: CafeHours, after: Instant): Instant | null => {
  const today = dayAt(after, cafe.zone).day;
  for (let day = today; day <= today + LONGEST_CLOSURE_DAYS; day += 1)
    for (const span of spansOnDay(cafe, day)) {
      const { opens } = timesOf(cafe, day, span);
      if (opens > after) return opens;
    }
  return null;
};

/**
 * The date to whose trade a moment belongs: until closing, and `grace` minutes longer, an evening
 * past midnight is still the date on which it began, unless the next one has opened.
 */
export const businessDateAt = (cafe: CafeHours, at: Instant, grace = 0): LocalDate => {
  const { day } = dayAt(at, cafe.zone);
  const closes = closesOnDay(cafe, day - 1);
  const opens = opensOnDay(cafe, day);
  const stillYesterday =
    closes !== null &&
    dayAt(closes, cafe.zone).day === day &&
    at < closes + grace * 60_000 &&
    (opens === null || at < opens);
  return fromDay(stillYesterday ? day - 1 : day);
};
