import { type DayNumber, type Weekday, civilOf, dayNumberOf } from './local-date.ts';
import type { Rule } from './recurrence-rule.ts';
import { firstWeekOf, weekBegin, weekYearOf } from './weeks.ts';

/** The periods of a rule are numbered from the one that holds its start, in steps of one. */
export type Periods = {
  readonly numberOf: (day: DayNumber) => number;
  /** First day of a period; the period ends where the next begins. */
  readonly beginOf: (period: number) => DayNumber;
};

const monthsFrom = (start: DayNumber): Periods => {
  const { year, month } = civilOf(start);
  return {
    numberOf: (day) => {
      const at = civilOf(day);
      return (at.year - year) * 12 + at.month - month;
    },
    beginOf: (n) => dayNumberOf(year + Math.floor((month - 1 + n) / 12), ((month - 1 + n) % 12) + 1, 1),
  };
};

const yearsFrom = (start: DayNumber): Periods => {
  const { year } = civilOf(start);
  return {
    numberOf: (day) => civilOf(day).year - year,
    beginOf: (n) => dayNumberOf(year + n, 1, 1),
  };
};

/** Years of whole weeks, so that "every second year in week 1" cannot fall twice in one year. */
const weekYearsFrom = (start: DayNumber, weekStart: Weekday): Periods => {
  const year = weekYearOf(start, weekStart);
  return {
    numberOf: (day) => weekYearOf(day, weekStart) - year,
    beginOf: (n) => firstWeekOf(year + n, weekStart),
  };
};

export const periodsOf = (rule: Rule, start: DayNumber): Periods => {
  const week = weekBegin(start, rule.weekStart);
  switch (rule.frequency) {
    case 'DAILY':
      return { numberOf: (day) => day - start, beginOf: (n) => start + n };
    case 'WEEKLY':
      return { numberOf: (day) => Math.floor((day - week) / 7), beginOf: (n) => week + 7 * n };
    case 'MONTHLY':
      return monthsFrom(start);
    case 'YEARLY':
      return rule.byWeekNo.length > 0 ? weekYearsFrom(start, rule.weekStart) : yearsFrom(start);
  }
};
