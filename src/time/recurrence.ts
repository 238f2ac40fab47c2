import { type DayNumber, type LocalDate, LAST_DAY, fromDay, toDay } from './local-date.ts';
import { type Place, counts, fits, placeOf } from './recurrence-match.ts';
import { periodsOf } from './recurrence-periods.ts';
import { plainFrom } from './recurrence-plain.ts';
import type { Rule } from './recurrence-rule.ts';

// A rule that has not fallen for a thousand years will not fall in any café's life: 30 February.
const SEARCH_DAYS = 365_243;

/** What the rule leaves open is taken from the start: its weekday, its day of the month or year. */
const completed = (rule: Rule, start: Place): Rule => {
  if (rule.byDay.length > 0 || rule.byMonthDay.length > 0 || rule.byYearDay.length > 0) return rule;
  const { frequency } = rule;
  if (frequency === 'DAILY') return rule;
  if (frequency === 'WEEKLY' || rule.byWeekNo.length > 0)
    return { ...rule, byDay: [{ weekday: start.weekday, nth: 0 }] };
  const byMonth = frequency === 'YEARLY' && rule.byMonth.length === 0 ? [start.month] : rule.byMonth;
  return { ...rule, byMonth, byMonthDay: [start.day] };
};

/** First day after the month of `day`, if the rule does not touch that month; else the day after. */
const skipFrom = (rule: Rule, place: Place): DayNumber =>
  rule.byMonth.length === 0 || rule.byMonth.includes(place.month)
    ? place.dayNumber + 1
    : place.dayNumber + place.monthLength - place.day + 1;

function* fittingDays(rule: Rule, begin: DayNumber, end: DayNumber): Generator<DayNumber, void> {
  for (let day = begin; day < end; ) {
    const place = placeOf(day);
    if (fits(rule, place)) yield day;
    day = skipFrom(rule, place);
  }
}

/** BYSETPOS picks from the whole period, also from its days before the start. */
const pickedDays = (rule: Rule, begin: DayNumber, end: DayNumber): readonly DayNumber[] => {
  const days = [...fittingDays(rule, begin, end)];
  return days.filter((_, index) => counts(rule.bySetPos, index + 1, days.length));
};

const daysOfPeriod = (
  rule: Rule,
  begin: DayNumber,
  end: DayNumber,
  from: DayNumber,
): Iterable<DayNumber> =>
  rule.bySetPos.length > 0
    ? pickedDays(rule, begin, end).filter((day) => day >= from)
    : fittingDays(rule, Math.max(begin, from), end);

/** Periods from one to the next that the rule may touch; only days leap over whole months. */
const stepOf = (rule: Rule, begin: DayNumber): number => {
  const touched = rule.frequency === 'DAILY' ? skipFrom(rule, placeOf(begin)) - begin : 1;
  return Math.ceil(touched / rule.interval) * rule.interval;
};

/** All days of the rule from `from` to `to`, both included, in order, COUNT left aside. */
function* daysFrom(
  asWritten: Rule,
  start: DayNumber,
  from: DayNumber,
  to: DayNumber,
): Generator<DayNumber, void> {
  const rule = completed(asWritten, placeOf(start));
  const { numberOf, beginOf } = periodsOf(rule, start);
  const last = rule.until === null ? to : Math.min(to, toDay(rule.until));
  const first = Math.max(start, from);
  let barren = first + SEARCH_DAYS;
  let period = Math.ceil(numberOf(first) / rule.interval) * rule.interval;
  for (;;) {
    const begin = beginOf(period);
    if (begin > Math.min(last, barren)) return;
    for (const day of daysOfPeriod(rule, begin, beginOf(period + 1), first)) {
      if (day > last) return;
      yield day;
      barren = day + SEARCH_DAYS;
    }
    period += stepOf(rule, begin);
  }
}

// A rule with COUNT has to be counted from its start once; its last day is then remembered for as
// long as the rule lives.
const lastDays = new WeakMap<Rule, Map<DayNumber, DayNumber>>();

const countOut = (rule: Rule, start: DayNumber, count: number): DayNumber => {
  let left = count;
  let last = start - 1;
  for (const day of daysFrom(rule, start, start, LAST_DAY)) {
    last = day;
    left -= 1;
    if (left === 0) break;
  }
  return last;
};

const lastDayOf = (rule: Rule, start: DayNumber): DayNumber => {
  if (rule.count === null) return LAST_DAY;
  let ofRule = lastDays.get(rule);
  if (ofRule === undefined) lastDays.set(rule, (ofRule = new Map()));
  const known = ofRule.get(start);
  if (known !== undefined) return known;
  const last = countOut(rule, start, rule.count);
  ofRule.set(start, last);
  return last;
};

/** As `nextDate`, on day numbers. */
export const nextDay = (rule: Rule, start: DayNumber, after: DayNumber): DayNumber | null => {
  const counted = lastDayOf(rule, start);
  const last = rule.until === null ? counted : Math.min(counted, toDay(rule.until));
  const plain = plainFrom(rule, start, Math.max(start, after + 1), last);
  if (plain !== undefined) return plain;
  const found = daysFrom(rule, start, after + 1, last).next();
  return found.done === true ? null : found.value;
};

/**
 * The first date of the rule strictly after `after`, and not before `start`, or null if there is
 * none in the next thousand years. The start is one of the dates only if the rule itself falls on
 * it, and COUNT counts such dates only. Dates that do not exist are skipped, never moved.
 * Costs the same at any distance from the start, unless the rule has a COUNT.
 * BYWEEKNO without BYDAY means the weekday of the start, and its INTERVAL counts years of weeks.
 */
export const nextDate = (rule: Rule, start: LocalDate, after: LocalDate): LocalDate | null => {
  const day = nextDay(rule, toDay(start), toDay(after));
  return day === null ? null : fromDay(day);
};

/** All dates of the rule from `from` to `to`, both included. */
export const datesBetween = (
  rule: Rule,
  start: LocalDate,
  from: LocalDate,
  to: LocalDate,
): readonly LocalDate[] => {
  const first = toDay(start);
  const end = Math.min(toDay(to), lastDayOf(rule, first));
  return Array.from(daysFrom(rule, first, toDay(from), end), fromDay);
};
