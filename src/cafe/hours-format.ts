import { type LocalTime, timeOf } from '../time/wall-time.ts';
import type { DaySpans, Span, Week } from './hours.ts';
import type { Weekday } from '../time/local-date.ts';

/** For views: weekdays in order that share their hours; no spans means closed. */
export type HourGroup = { readonly days: readonly Weekday[]; readonly spans: readonly ShownSpan[] };

/** `closesNextDay`: the closing time stands on the dial of the day after. */
export type ShownSpan = {
  readonly from: LocalTime;
  readonly to: LocalTime;
  readonly closesNextDay: boolean;
};

export const shownSpan = ({ from, to }: Span): ShownSpan => ({
  from: timeOf(from),
  to: timeOf(to),
  closesNextDay: to > 1440,
});

const keyOf = (spans: DaySpans): string => spans.map(({ from, to }) => `${from}-${to}`).join();

const daysByHours = ({ days }: Week): readonly (readonly [DaySpans, readonly Weekday[]])[] => {
  const groups = new Map<string, [DaySpans, Weekday[]]>();
  days.forEach((spans, i) => {
    const group = groups.get(keyOf(spans)) ?? [spans, []];
    groups.set(keyOf(spans), group);
    group[1].push((i + 1) as Weekday);
  });
  return [...groups.values()];
};

/** Open days first, by their first weekday; the closed days last. */
export const hourGroups = (week: Week): readonly HourGroup[] =>
  daysByHours(week)
    .map(([spans, days]) => ({ days, spans: spans.map(shownSpan) }))
    .toSorted((a, b) => Number(a.spans.length === 0) - Number(b.spans.length === 0));

const NAMES = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;

const two = (n: number): string => String(n).padStart(2, '0');

// Hours past midnight count on past 24, so that the text can be read back in one way only.
const clock = (minutes: number): string => `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;

const spansText = (spans: DaySpans): string =>
  spans.length === 0
    ? 'closed'
    : spans.map(({ from, to }) => `${clock(from)}-${clock(to)}`).join(', ');

/** A text for storing and correcting that `parseHours` reads back, in English words. */
export const hoursText = (week: Week): string =>
  [
    ...daysByHours(week).map(
      ([spans, days]) => `${days.map((day) => NAMES[day - 1]).join(', ')} ${spansText(spans)}`,
    ),
    `holidays ${spansText(week.holidays)}`,
  ].join('; ');
