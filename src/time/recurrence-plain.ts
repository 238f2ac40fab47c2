import { type DayNumber, civilOf, dayNumberOf, monthLength, weekdayOf } from './local-date.ts';
import type { Rule, WeekdayPart } from './recurrence-rule.ts';
import { weekBegin } from './weeks.ts';

const hasOnlyWeekdays = ({ byMonth, byMonthDay, byYearDay, byWeekNo, bySetPos }: Rule): boolean =>
  byMonth.length + byMonthDay.length + byYearDay.length + byWeekNo.length + bySetPos.length === 0;

/** The first step of `interval` at or after `at`. */
const stepFrom = (at: number, interval: number): number => Math.max(0, Math.ceil(at / interval)) * interval;

const dailyFrom = ({ interval }: Rule, start: DayNumber, from: DayNumber): DayNumber => start + stepFrom(from - start, interval);

const weeklyFrom = ({ interval, byDay, weekStart }: Rule, start: DayNumber, from: DayNumber): DayNumber => {
  const week = weekBegin(start, weekStart);
  const begin = week + 7 * stepFrom(Math.floor((from - week) / 7), interval);
  const later = begin + 7 * interval;
  let found = Number.POSITIVE_INFINITY;
  for (let i = 0; i < Math.max(1, byDay.length); i += 1) {
    const offset = ((byDay[i]?.weekday ?? weekdayOf(start)) - weekStart + 7) % 7;
    found = Math.min(found, (begin + offset >= from ? begin : later) + offset);
  }
  return found;
};

/** The numbered weekday of the month that begins on `begin`; outside of it there is none. */
const numbered = ({ weekday, nth }: WeekdayPart, begin: DayNumber, end: DayNumber): DayNumber =>
  nth > 0
    ? begin + ((weekday - weekdayOf(begin) + 7) % 7) + 7 * (nth - 1)
    : end - 1 - ((weekdayOf(end - 1) - weekday + 7) % 7) + 7 * (nth + 1);

const monthlyFrom = ({ interval, byDay }: Rule, start: DayNumber, from: DayNumber, last: DayNumber): DayNumber | null => {
  const { year, month } = civilOf(start);
  const at = civilOf(from);
  for (let n = stepFrom((at.year - year) * 12 + at.month - month, interval); ; n += interval) {
    const y = year + Math.floor((month - 1 + n) / 12);
    const m = ((month - 1 + n) % 12) + 1;
    const begin = dayNumberOf(y, m, 1);
    if (begin > last) return null;
    const end = begin + monthLength(y, m);
    let found = Number.POSITIVE_INFINITY;
    for (const part of byDay) {
      const day = numbered(part, begin, end);
      if (day >= from && day >= begin && day < end) found = Math.min(found, day);
    }
    if (found < end) return found;
  }
};

/**
 * The first day of a rule at or after `from` (not before `start`) and up to `last`, counted out instead of searched for;
 * null: none. Undefined for rules with more parts than weekdays, which are searched. Nearly all rules of cafés are such:
 * every day, some weekdays, the first Wednesday.
 */
export const plainFrom = (rule: Rule, start: DayNumber, from: DayNumber, last: DayNumber): DayNumber | null | undefined => {
  if (!hasOnlyWeekdays(rule)) return undefined;
  const { frequency, byDay } = rule;
  if (frequency === 'DAILY' && byDay.length === 0) return within(dailyFrom(rule, start, from), last);
  if (frequency === 'WEEKLY') return within(weeklyFrom(rule, start, from), last);
  if (frequency === 'MONTHLY' && byDay.length > 0 && byDay.every(({ nth }) => nth !== 0)) {
    const found = monthlyFrom(rule, start, from, last);
    return found === null ? null : within(found, last);
  }
  return undefined;
};

const within = (day: DayNumber, last: DayNumber): DayNumber | null => (day <= last ? day : null);
