import type { LocalDate, Weekday } from './local-date.ts';

export type Frequency = 'DAILY' | 'WEEKLY' | 'MONTHLY' | 'YEARLY';

/** `nth` counts within the month or year, negative from its end; 0 means every one. */
export type WeekdayPart = { readonly weekday: Weekday; readonly nth: number };

/**
 * A recurrence rule of RFC 5545 section 3.3.10 on calendar dates. An empty list means that the
 * part is not in the rule. `until` is included.
 */
export type Rule = {
  readonly frequency: Frequency;
  readonly interval: number;
  readonly count: number | null;
  readonly until: LocalDate | null;
  readonly byMonth: readonly number[];
  readonly byWeekNo: readonly number[];
  readonly byYearDay: readonly number[];
  readonly byMonthDay: readonly number[];
  readonly byDay: readonly WeekdayPart[];
  readonly bySetPos: readonly number[];
  readonly weekStart: Weekday;
};

/** Why a text is no rule; `part` of the result holds the piece of text that is meant. */
export type RuleProblem =
  | 'malformed'
  | 'unknown-part'
  | 'repeated-part'
  | 'frequency-missing'
  | 'frequency-unknown'
  | 'shorter-than-a-day'
  | 'number-out-of-range'
  | 'weekday-unknown'
  | 'count-and-until'
  | 'date-unknown'
  | 'until-needs-zone'
  | 'part-not-with-frequency'
  | 'numbered-weekday-not-here'
  | 'position-alone';

export const WEEKDAY_CODES = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'] as const;

const compact = (date: LocalDate): string => date.replaceAll('-', '');

const codeOf = (weekday: Weekday): string => WEEKDAY_CODES[weekday - 1] ?? '';

const weekdayText = ({ weekday, nth }: WeekdayPart): string =>
  nth === 0 ? codeOf(weekday) : `${nth}${codeOf(weekday)}`;

const listed = (name: string, items: readonly (string | number)[]): readonly string[] =>
  items.length === 0 ? [] : [`${name}=${items.join(',')}`];

/** The rule as RFC 5545 writes it, parts in a fixed order, defaults left out. */
export const formatRule = (rule: Rule): string =>
  [
    `FREQ=${rule.frequency}`,
    ...(rule.interval === 1 ? [] : [`INTERVAL=${rule.interval}`]),
    ...(rule.count === null ? [] : [`COUNT=${rule.count}`]),
    ...(rule.until === null ? [] : [`UNTIL=${compact(rule.until)}`]),
    ...listed('BYMONTH', rule.byMonth),
    ...listed('BYWEEKNO', rule.byWeekNo),
    ...listed('BYYEARDAY', rule.byYearDay),
    ...listed('BYMONTHDAY', rule.byMonthDay),
    ...listed('BYDAY', rule.byDay.map(weekdayText)),
    ...listed('BYSETPOS', rule.bySetPos),
    ...(rule.weekStart === 1 ? [] : [`WKST=${codeOf(rule.weekStart)}`]),
  ].join(';');
