import { type DaySpans, type Week, type WeekSpans, NEVER } from './hours.ts';
import {
  type HoursProblem,
  type Read,
  DAY,
  Unclear,
  isTime,
  readSpans,
  refuse,
} from './hours-span-text.ts';
import { type DoorToken, HOLIDAY, tokensOf } from './hours-tokens.ts';
import { type DoorWords, ENGLISH_DOOR } from './hours-words.ts';

export type Refused = { readonly ok: false; readonly problem: HoursProblem; readonly at: string };
export type ParsedHours = { readonly ok: true; readonly week: Week } | Refused;
export type ParsedSpans = { readonly ok: true; readonly spans: DaySpans } | Refused;

type Entry = {
  /** Null: no days were named. */
  readonly days: readonly number[] | null;
  readonly spans: DaySpans;
  readonly text: string;
};

const rangeOf = (first: number, last: number): readonly number[] =>
  first === HOLIDAY || last === HOLIDAY
    ? [first, last]
    : Array.from({ length: ((last - first + 7) % 7) + 1 }, (_, i) => ((first - 1 + i) % 7) + 1);

/** One day name or one range, "tue-sun". */
const readDayGroup = (tokens: readonly DoorToken[], i: number): Read<readonly number[]> => {
  const first = tokens[i];
  const last = tokens[i + 2];
  if (first?.kind !== 'days') return { value: [], next: i };
  if (tokens[i + 1]?.kind !== 'to' || last?.kind !== 'days') return { value: first.days, next: i + 1 };
  return { value: rangeOf(first.days[0] ?? 0, last.days.at(-1) ?? 0), next: i + 3 };
};

const says = (tokens: readonly DoorToken[], i: number): boolean =>
  isTime(tokens[i]) || tokens[i]?.kind === 'closed';

/**
 * "mon, wed-fri" from token `i` on. If `behind` what it belongs to ("closed mon, tue 8-12"), days
 * after the first group that have hours of their own are left for the next entry.
 */
const readDays = (
  tokens: readonly DoorToken[],
  i: number,
  behind: boolean,
): Read<readonly number[]> => {
  let read = readDayGroup(tokens, i);
  const first = read;
  const days = [...first.value];
  for (;;) {
    const next = tokens[read.next]?.kind === 'and' ? read.next + 1 : read.next;
    if (tokens[next]?.kind !== 'days') break;
    read = readDayGroup(tokens, next);
    days.push(...read.value);
  }
  if (!behind || !says(tokens, read.next)) return { value: days, next: read.next };
  return first.next < read.next ? first : refuse('order-unclear', tokens[read.next]?.text ?? '');
};

const readFromDays = (tokens: readonly DoorToken[], i: number): Read<Entry> => {
  const { value: days, next } = readDays(tokens, i, false);
  const text = tokens[i]?.text ?? '';
  if (tokens[next]?.kind === 'closed') return { value: { days, spans: [], text }, next: next + 1 };
  if (!isTime(tokens[next])) refuse('days-without-hours', text);
  const spans = readSpans(tokens, next);
  return { value: { days, spans: spans.value, text }, next: spans.next };
};

const readFromHours = (tokens: readonly DoorToken[], i: number): Read<Entry> => {
  const text = tokens[i]?.text ?? '';
  const spans = isTime(tokens[i]) ? readSpans(tokens, i) : { value: [], next: i + 1 };
  if (tokens[spans.next]?.kind !== 'days')
    return { value: { days: null, spans: spans.value, text }, next: spans.next };
  const days = readDays(tokens, spans.next, true);
  return { value: { days: days.value, spans: spans.value, text }, next: days.next };
};

const readEntries = (tokens: readonly DoorToken[]): readonly Entry[] => {
  const entries: Entry[] = [];
  for (let i = 0; i < tokens.length; ) {
    const token = tokens[i];
    if (token?.kind === 'and' || token?.kind === 'end') i += 1;
    else if (token?.kind === 'to') return refuse('order-unclear', token.text);
    else {
      const read = token?.kind === 'days' ? readFromDays(tokens, i) : readFromHours(tokens, i);
      entries.push(read.value);
      i = read.next;
    }
  }
  return entries;
};

/** Sorted, those that meet made one. */
const inOrder = (spans: DaySpans, text: string): DaySpans => {
  const sorted = spans.toSorted((a, b) => a.from - b.from);
  return sorted.reduce<DaySpans>((done, one) => {
    const last = done.at(-1);
    if (last === undefined || last.to < one.from) return [...done, one];
    if (last.to > one.from) return refuse('hours-overlap', text);
    return [...done.slice(0, -1), { from: last.from, to: one.to }];
  }, []);
};

const overlaps = (some: DaySpans, others: DaySpans): boolean =>
  some.some((a) => others.some((b) => a.from < b.to && b.from < a.to));

/**
 * From what was said of many days to what was said of few: hours beside those known are added
 * ("mon-fri 8-12, mon-thu 14-18"), hours across them take their place, and so does "closed".
 */
const spansFor = (day: number, entries: readonly Entry[]): DaySpans => {
  const named = entries.filter(({ days }) => days?.includes(day));
  const about = named.length > 0 ? named : entries.filter(({ days }) => days === null);
  const widths = new Set(about.map(({ days }) => days?.length ?? 0));
  return [...widths]
    .toSorted((a, b) => b - a)
    .reduce<DaySpans>((wider, width) => {
      const holding = about.filter(({ days }) => (days?.length ?? 0) === width);
      if (holding.some(({ spans }) => spans.length === 0)) return [];
      const text = holding.at(-1)?.text ?? '';
      const spans = inOrder(holding.flatMap((entry) => entry.spans), text);
      return overlaps(wider, spans) ? spans : inOrder([...wider, ...spans], text);
    }, []);
};

const refuseRunningInto = (days: readonly DaySpans[], entries: readonly Entry[]): void => {
  days.forEach((spans, i) => {
    const end = (spans.at(-1)?.to ?? 0) - DAY;
    const next = days[(i + 1) % 7]?.[0]?.from ?? DAY;
    const text = entries.findLast((entry) => entry.days?.includes(i + 1))?.text ?? '';
    if (end > next) refuse('hours-overlap', text);
  });
};

const weekOf = (entries: readonly Entry[]): Week => {
  const days = NEVER.map((_, i) => spansFor(i + 1, entries));
  if (days.every((spans) => spans.length === 0)) refuse('never-open', '');
  refuseRunningInto(days, entries);
  const aboutHolidays = entries.filter((entry) => entry.days?.includes(HOLIDAY));
  return { days: days as unknown as WeekSpans, holidays: spansFor(HOLIDAY, aboutHolidays) };
};

const readAll = <T>(
  text: string,
  languages: readonly DoorWords[],
  make: (tokens: readonly DoorToken[]) => T,
): { readonly ok: true; readonly value: T } | Refused => {
  const read = tokensOf(text.trim(), languages);
  if (!read.ok) return read;
  if (read.tokens.length === 0) return { ok: false, problem: 'empty', at: '' };
  try {
    return { ok: true, value: make(read.tokens) };
  } catch (thrown) {
    if (!(thrown instanceof Unclear)) throw thrown;
    return { ok: false, problem: thrown.problem, at: thrown.at };
  }
};

/**
 * Opening hours as they stand on a door: "tue-sun 8-22:30, closed mon". Days not named are closed;
 * holidays are closed unless they are named. Of several languages the first has the say on words
 * they share.
 */
export const parseHours = (
  text: string,
  languages: readonly DoorWords[] = [ENGLISH_DOOR],
): ParsedHours => {
  const read = readAll(text, languages, (tokens) => weekOf(readEntries(tokens)));
  return read.ok ? { ok: true, week: read.value } : read;
};

const onlySpans = (tokens: readonly DoorToken[]): DaySpans => {
  if (tokens.length === 1 && tokens[0]?.kind === 'closed') return [];
  const { value, next } = readSpans(tokens, 0);
  if (next < tokens.length) refuse('order-unclear', tokens[next]?.text ?? '');
  return inOrder(value, tokens[0]?.text ?? '');
};

/** The hours of one date: "8-14", "8-12, 14-18" or "closed". */
export const parseSpans = (
  text: string,
  languages: readonly DoorWords[] = [ENGLISH_DOOR],
): ParsedSpans => {
  const read = readAll(text, languages, onlySpans);
  return read.ok ? { ok: true, spans: read.value } : read;
};
