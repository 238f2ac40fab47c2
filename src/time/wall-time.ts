import { type Instant, instant } from './instant.ts';
import {
  type DayNumber,
  type LocalDate,
  type Weekday,
  fromDay,
  toDay,
  weekdayOf,
} from './local-date.ts';
import { clockChangeBefore, offsetAt } from './zone-offset.ts';

/** What a wall clock shows, 'HH:MM', 00:00 to 23:59. Sorts as text. */
export type LocalTime = string & { readonly __localTime: true };

/** A moment as the wall clock and the calendar of one zone show it. */
export type Local = {
  readonly date: LocalDate;
  readonly time: LocalTime;
  readonly weekday: Weekday;
};

const DAY = 86_400_000;
const MINUTE = 60_000;

/** For text from outside: null if it is not 'HH:MM'. */
export const parseLocalTime = (text: string): LocalTime | null =>
  /^([01]\d|2[0-3]):[0-5]\d$/.test(text) ? (text as LocalTime) : null;

/** For text known to be a time. @throws RangeError if it is not 'HH:MM'. */
export const localTime = (text: string): LocalTime => {
  const time = parseLocalTime(text);
  if (time === null) throw new RangeError(`not a time of day: ${text}`);
  return time;
};

/** Minutes since midnight on the dial, 0 to 1439. */
export const minutesOf = (time: LocalTime): number =>
  Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

const two = (n: number): string => (n < 10 ? `0${n}` : `${n}`);

/** `minutes` since midnight on the dial; past 1439 it goes round. */
export const timeOf = (minutes: number): LocalTime => {
  const inDay = ((minutes % 1440) + 1440) % 1440;
  return `${two(Math.floor(inDay / 60))}:${two(inDay % 60)}` as LocalTime;
};

/**
 * The moment at which the wall clock of `zone` shows `minutes` past midnight of a day; `minutes`
 * may be negative or pass 1440 and then counts on the dial of the neighbouring day.
 *
 * One rule for clock changes: a time that is skipped moves forward by what was skipped (02:30
 * becomes 03:30), a time that occurs twice means its first occurrence. RFC 5545 section 3.3.5.
 */
export const instantOfDay = (day: DayNumber, minutes: number, zone: string): Instant => {
  const shown = day * DAY + minutes * MINUTE;
  const before = offsetAt(zone, shown - DAY);
  const after = offsetAt(zone, shown + DAY);
  const early = shown - before;
  if (before === after || offsetAt(zone, early) === before) return instant(early);
  const late = shown - after;
  return instant(offsetAt(zone, late) === after ? late : early);
};

/**
 * As `instantOfDay`, but the moment stays on its date: where the skipped hour is the last of the
 * day (23:30 would become 00:30), it is the last minute before the skip instead. So nothing that
 * falls once a date can fall twice on the next. A date that a zone leaves out as a whole has no
 * such minute and moves.
 */
export const instantOnDay = (day: DayNumber, minutes: number, zone: string): Instant => {
  const moved = instantOfDay(day, minutes, zone);
  const wanted = day + Math.floor(minutes / 1440);
  if (dayAt(moved, zone).day === wanted) return moved;
  const skip = clockChangeBefore(zone, moved);
  const lastMinute = instant((skip ?? moved) - MINUTE);
  return dayAt(lastMinute, zone).day === wanted ? lastMinute : moved;
};

/** Whether a zone has this date at all: Samoa went from 29 to 31 December 2011. */
export const hasDay = (day: DayNumber, zone: string): boolean =>
  offsetAt(zone, (day - 1) * DAY) === offsetAt(zone, (day + 2) * DAY) ||
  dayAt(instantOfDay(day, 720, zone), zone).day === day;

/** @see instantOfDay @throws RangeError if `zone` is no IANA zone. */
export const instantOf = (date: LocalDate, time: LocalTime, zone: string): Instant =>
  instantOfDay(toDay(date), minutesOf(time), zone);

/** Day and minute as the wall clock shows them; seconds are cut off. */
export const dayAt = (
  at: Instant,
  zone: string,
): { readonly day: DayNumber; readonly minutes: number } => {
  const shown = at + offsetAt(zone, at);
  const day = Math.floor(shown / DAY);
  return { day, minutes: Math.floor((shown - day * DAY) / MINUTE) };
};

/** @throws RangeError if `zone` is no IANA zone. */
export const localAt = (at: Instant, zone: string): Local => {
  const { day, minutes } = dayAt(at, zone);
  return { date: fromDay(day), time: timeOf(minutes), weekday: weekdayOf(day) };
};

/** The calendar's date at a moment. */
export const dateAt = (at: Instant, zone: string): LocalDate => fromDay(dayAt(at, zone).day);

/** Which edition of the time zone data the platform carries, such as '2025c'. */
export const zoneDataVersion = (): string => process.versions.tz ?? 'unknown';
