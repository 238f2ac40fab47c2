import {
  type DayNumber,
  type Weekday,
  civilOf,
  dayNumberOf,
  monthLength,
  weekdayOf,
  yearLength,
} from './local-date.ts';
import type { Rule, WeekdayPart } from './recurrence-rule.ts';
import { firstWeekOf, weekBegin, weekYearOf } from './weeks.ts';

/** Where a day stands in its month, year and week. */
export type Place = {
  readonly month: number;
  readonly day: number;
  readonly monthLength: number;
  readonly yearDay: number;
  readonly yearLength: number;
  readonly weekday: Weekday;
  readonly dayNumber: DayNumber;
};

export const placeOf = (dayNumber: DayNumber): Place => {
  const { year, month, day } = civilOf(dayNumber);
  return {
    month,
    day,
    dayNumber,
    monthLength: monthLength(year, month),
    yearDay: dayNumber - dayNumberOf(year, 1, 1) + 1,
    yearLength: yearLength(year),
    weekday: weekdayOf(dayNumber),
  };
};

/** Numbers of the list count from 1 at the start, from -1 at the end; an empty list takes all. */
export const counts = (list: readonly number[], fromStart: number, length: number): boolean =>
  list.length === 0 || list.includes(fromStart) || list.includes(fromStart - length - 1);

const inWeeks = (rule: Rule, { dayNumber }: Place): boolean => {
  if (rule.byWeekNo.length === 0) return true;
  const begin = weekBegin(dayNumber, rule.weekStart);
  const owner = weekYearOf(dayNumber, rule.weekStart);
  const first = firstWeekOf(owner, rule.weekStart);
  const weeks = (firstWeekOf(owner + 1, rule.weekStart) - first) / 7;
  return counts(rule.byWeekNo, (begin - first) / 7 + 1, weeks);
};

const isNth = (nth: number, fromStart: number, length: number): boolean =>
  nth > 0
    ? Math.floor((fromStart - 1) / 7) + 1 === nth
    : Math.floor((length - fromStart) / 7) + 1 === -nth;

const onWeekday = (rule: Rule, place: Place): boolean => {
  if (rule.byDay.length === 0) return true;
  const inMonth = rule.frequency === 'MONTHLY' || rule.byMonth.length > 0;
  const matches = ({ weekday, nth }: WeekdayPart): boolean =>
    weekday === place.weekday &&
    (nth === 0 ||
      (inMonth
        ? isNth(nth, place.day, place.monthLength)
        : isNth(nth, place.yearDay, place.yearLength)));
  return rule.byDay.some(matches);
};

export const fits = (rule: Rule, place: Place): boolean =>
  (rule.byMonth.length === 0 || rule.byMonth.includes(place.month)) &&
  counts(rule.byMonthDay, place.day, place.monthLength) &&
  counts(rule.byYearDay, place.yearDay, place.yearLength) &&
  onWeekday(rule, place) &&
  inWeeks(rule, place);
