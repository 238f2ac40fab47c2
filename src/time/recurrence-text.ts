import { type Instant, instant } from './instant.ts';
import { type LocalDate, type Weekday, parseLocalDate, plusDays } from './local-date.ts';
import {
  type Frequency,
  type Rule,
  type RuleProblem,
  type WeekdayPart,
  WEEKDAY_CODES,
} from './recurrence-rule.ts';
import { type LocalTime, instantOf, localAt, parseLocalTime } from './wall-time.ts';

export type ParsedRule =
  | { readonly ok: true; readonly rule: Rule }
  | { readonly ok: false; readonly problem: RuleProblem; readonly part: string };

/** The time of day and zone in which a rule will run; needed to read an UNTIL with a time. */
export type RunsAt = { readonly time: LocalTime; readonly zone: string };

/** Found while reading; never leaves this file. */
class Unreadable {
  readonly problem: RuleProblem;
  readonly part: string;
  constructor(problem: RuleProblem, part: string) {
    this.problem = problem;
    this.part = part;
  }
}

const refuse = (problem: RuleProblem, part: string): never => {
  throw new Unreadable(problem, part);
};

const FREQUENCIES: readonly string[] = ['DAILY', 'WEEKLY', 'MONTHLY', 'YEARLY'];
const SHORT_FREQUENCIES: readonly string[] = ['HOURLY', 'MINUTELY', 'SECONDLY'];
const SHORT_PARTS: readonly string[] = ['BYHOUR', 'BYMINUTE', 'BYSECOND'];
const PARTS: readonly string[] = [
  'FREQ', 'INTERVAL', 'COUNT', 'UNTIL', 'BYMONTH', 'BYWEEKNO', 'BYYEARDAY', 'BYMONTHDAY',
  'BYDAY', 'BYSETPOS', 'WKST',
];

// Past this a count is a slip of the keyboard: 100,000 days are 273 years.
const MOST_COUNT = 100_000;
const MOST_INTERVAL = 10_000;

const splitParts = (text: string): ReadonlyMap<string, string> => {
  const parts = new Map<string, string>();
  for (const piece of text.trim().toUpperCase().replace(/^RRULE:/, '').split(';')) {
    const [, name, value] = /^([A-Z]+)=([^=\s]+)$/.exec(piece) ?? [];
    if (name === undefined || value === undefined) return refuse('malformed', piece);
    if (SHORT_PARTS.includes(name)) refuse('shorter-than-a-day', piece);
    if (!PARTS.includes(name)) refuse('unknown-part', piece);
    if (parts.has(name)) refuse('repeated-part', piece);
    parts.set(name, value);
  }
  return parts;
};

const frequencyIn = (parts: ReadonlyMap<string, string>): Frequency => {
  const value = parts.get('FREQ');
  if (value === undefined) return refuse('frequency-missing', 'FREQ');
  if (SHORT_FREQUENCIES.includes(value)) return refuse('shorter-than-a-day', `FREQ=${value}`);
  if (!FREQUENCIES.includes(value)) return refuse('frequency-unknown', `FREQ=${value}`);
  return value as Frequency;
};

const positive = (parts: ReadonlyMap<string, string>, name: string, most: number): number | null => {
  const value = parts.get(name);
  if (value === undefined) return null;
  const n = /^\d{1,9}$/.test(value) ? Number(value) : Number.NaN;
  return n >= 1 && n <= most ? n : refuse('number-out-of-range', `${name}=${value}`);
};

const numbers = (
  parts: ReadonlyMap<string, string>,
  name: string,
  most: number,
  negativeToo: boolean,
): readonly number[] => {
  const value = parts.get(name);
  if (value === undefined) return [];
  const list = value.split(',').map((item) => {
    const n = /^[+-]?\d{1,3}$/.test(item) ? Number(item) : Number.NaN;
    const fits = Math.abs(n) >= 1 && Math.abs(n) <= most && (n > 0 || negativeToo);
    return fits ? n : refuse('number-out-of-range', `${name}=${item}`);
  });
  return [...new Set(list)].sort((a, b) => a - b);
};

const weekday = (code: string, part: string): Weekday => {
  const index = WEEKDAY_CODES.findIndex((known) => known === code);
  return index < 0 ? refuse('weekday-unknown', part) : ((index + 1) as Weekday);
};

const weekdayPart = (item: string): WeekdayPart => {
  const [, sign, digits, code] = /^([+-]?)(\d{0,2})([A-Z]{2})$/.exec(item) ?? [];
  if (code === undefined || (sign !== '' && digits === '')) refuse('weekday-unknown', item);
  const nth = digits === '' ? 0 : Number(`${sign}${digits}`);
  if (digits !== '' && (nth === 0 || Math.abs(nth) > 53)) refuse('number-out-of-range', item);
  return { weekday: weekday(code ?? '', item), nth };
};

const weekdays = (parts: ReadonlyMap<string, string>): readonly WeekdayPart[] =>
  parts.get('BYDAY')?.split(',').map(weekdayPart) ?? [];

/** The last date whose occurrence is not after `end`. */
const lastDateBy = (end: Instant, { time, zone }: RunsAt): LocalDate => {
  const { date } = localAt(end, zone);
  return instantOf(date, time, zone) <= end ? date : plusDays(date, -1);
};

const untilIn = (parts: ReadonlyMap<string, string>, runsAt: RunsAt | null): LocalDate | null => {
  const value = parts.get('UNTIL');
  if (value === undefined) return null;
  const part = `UNTIL=${value}`;
  const [, y, m, d, hh, mm, ss, utc] =
    /^(\d{4})(\d\d)(\d\d)(?:T(\d\d)(\d\d)(\d\d)(Z?))?$/.exec(value) ?? [];
  const date = parseLocalDate(`${y}-${m}-${d}`) ?? refuse('date-unknown', part);
  if (hh === undefined) return date;
  const time = parseLocalTime(`${hh}:${mm}`) ?? refuse('date-unknown', part);
  if (runsAt === null) return refuse('until-needs-zone', part);
  if (utc !== 'Z') return runsAt.time <= time ? date : plusDays(date, -1);
  return lastDateBy(instant(Date.parse(`${date}T${time}:${ss}Z`)), runsAt);
};

/** The limits of RFC 5545 section 3.3.10 on which parts go together (erratum 1913 applied). */
const refuseMisfits = (rule: Rule): Rule => {
  const { frequency } = rule;
  const yearly = frequency === 'YEARLY';
  if (rule.count !== null && rule.until !== null) refuse('count-and-until', 'UNTIL');
  if (!yearly && rule.byWeekNo.length > 0) refuse('part-not-with-frequency', 'BYWEEKNO');
  if (!yearly && rule.byYearDay.length > 0) refuse('part-not-with-frequency', 'BYYEARDAY');
  if (frequency === 'WEEKLY' && rule.byMonthDay.length > 0)
    refuse('part-not-with-frequency', 'BYMONTHDAY');
  const numbered = rule.byDay.some(({ nth }) => nth !== 0);
  const mayNumber = frequency === 'MONTHLY' || (yearly && rule.byWeekNo.length === 0);
  if (numbered && !mayNumber) refuse('numbered-weekday-not-here', 'BYDAY');
  const others = [rule.byMonth, rule.byWeekNo, rule.byYearDay, rule.byMonthDay, rule.byDay];
  if (rule.bySetPos.length > 0 && others.every((list) => list.length === 0))
    refuse('position-alone', 'BYSETPOS');
  return rule;
};

const read = (text: string, runsAt: RunsAt | null): Rule => {
  const parts = splitParts(text);
  return refuseMisfits({
    frequency: frequencyIn(parts),
    interval: positive(parts, 'INTERVAL', MOST_INTERVAL) ?? 1,
    count: positive(parts, 'COUNT', MOST_COUNT),
    until: untilIn(parts, runsAt),
    byMonth: numbers(parts, 'BYMONTH', 12, false),
    byWeekNo: numbers(parts, 'BYWEEKNO', 53, true),
    byYearDay: numbers(parts, 'BYYEARDAY', 366, true),
    byMonthDay: numbers(parts, 'BYMONTHDAY', 31, true),
    byDay: weekdays(parts),
    bySetPos: numbers(parts, 'BYSETPOS', 366, true),
    weekStart: weekday(parts.get('WKST') ?? 'MO', `WKST=${parts.get('WKST') ?? 'MO'}`),
  });
};

/**
 * Reads 'FREQ=MONTHLY;BYDAY=-1FR', with or without 'RRULE:' before it, capitals or not. Rules
 * that repeat within a day are refused. An UNTIL with a time can only be read together with the
 * time and zone in which the rule runs, and is then turned into the last date it allows.
 */
export const parseRule = (text: string, runsAt: RunsAt | null = null): ParsedRule => {
  try {
    return { ok: true, rule: read(text, runsAt) };
  } catch (thrown) {
    if (!(thrown instanceof Unreadable)) throw thrown;
    return { ok: false, problem: thrown.problem, part: thrown.part };
  }
};
