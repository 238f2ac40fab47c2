import { type DayNumber, type Weekday, civilOf, dayNumberOf, weekdayOf } from './local-date.ts';

/** The first day of the week of `day`, for weeks that begin on `weekStart`. */
export const weekBegin = (day: DayNumber, weekStart: Weekday): DayNumber =>
  day - ((weekdayOf(day) - weekStart + 7) % 7);

/** Week 1 is the first with four days in the year, ISO 8601, for any first day of the week. */
export const firstWeekOf = (year: number, weekStart: Weekday): DayNumber =>
  weekBegin(dayNumberOf(year, 1, 4), weekStart);

/** The week of a day belongs to the year that holds its fourth day, which may be a neighbour's. */
export const weekYearOf = (day: DayNumber, weekStart: Weekday): number =>
  civilOf(weekBegin(day, weekStart) + 3).year;
