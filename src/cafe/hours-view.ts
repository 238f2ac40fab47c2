import type { Say } from '../words/catalogue.ts';
import { hourGroups, shownSpan, type HourGroup, type ShownSpan } from './hours-format.ts';
import type { DaySpans, Week } from './hours.ts';

const MONDAY_2024 = Date.UTC(2024, 0, 1);
const DAY = 86_400_000;

const dayName = (day: number, style: 'short' | 'long', locale: string): string => new Intl.DateTimeFormat(locale, { weekday: style, timeZone: 'UTC' }).format(MONDAY_2024 + (day - 1) * DAY);

/** Days in a row as from and to: `[1, 2, 3, 6]` is `[[1, 3], [6, 6]]`. */
const runsOf = (days: readonly number[]): readonly (readonly [number, number])[] =>
  days.reduce<(readonly [number, number])[]>((runs, day) => {
    const last = runs.at(-1);
    return last && last[1] === day - 1 ? [...runs.slice(0, -1), [last[0], day]] : [...runs, [day, day]];
  }, []);

const daysText = (days: readonly number[], say: Say, locale: string): string => {
  if (days.length === 7) return say('cafe.hours.everyDay');
  if (days.length === 1) return dayName(days[0] ?? 1, 'long', locale);
  return runsOf(days)
    .flatMap(([from, to]) => (to - from >= 2 ? [say('cafe.hours.fromTo', { from: dayName(from, 'short', locale), to: dayName(to, 'short', locale) })] : from === to ? [dayName(from, 'short', locale)] : [dayName(from, 'short', locale), dayName(to, 'short', locale)]))
    .join(', ');
};

/** `8:00`, `22:30`: as on a door. */
const doorTime = (time: string): string => time.replace(/^0(\d)/, '$1');

const spanText = ({ from, to }: ShownSpan, say: Say): string => say('cafe.hours.fromTo', { from: doorTime(from), to: doorTime(to) });

/** `8:00 to 12:00 and 14:00 to 18:00`. */
export const spansText = (spans: DaySpans, say: Say): string => spans.map((span) => spanText(shownSpan(span), say)).join(say('cafe.hours.and'));

const groupText = ({ days, spans }: HourGroup, say: Say, locale: string): string =>
  spans.length === 0
    ? say('cafe.hours.closed', { days: daysText(days, say, locale) })
    : `${daysText(days, say, locale)} ${spans.map((span) => spanText(span, say)).join(say('cafe.hours.and'))}`;

/** Pieces put together into lines of at most `width` characters. */
export const packed = (pieces: readonly string[], width = 64): readonly string[] =>
  pieces.reduce<string[]>((lines, piece) => {
    const last = lines.at(-1);
    return last !== undefined && `${last}, ${piece}`.length < width ? [...lines.slice(0, -1), `${last}, ${piece}`] : [...lines, piece];
  }, []);

const linesOf = (groups: readonly HourGroup[], say: Say, locale: string, beside: readonly string[] = []): readonly string[] => {
  const lines = packed([...groups.map((group) => groupText(group, say, locale)), ...beside]);
  return lines.map((each, i) => (i === lines.length - 1 ? `${each}.` : `${each},`));
};

/** `Tue to Sun 8:00 to 22:30, Monday closed, holidays 10:00 to 14:00.`, in as many lines as it takes. */
export const hoursLines = (week: Week, say: Say, locale: string): readonly string[] =>
  linesOf(hourGroups(week), say, locale, week.holidays.length > 0 ? [say('cafe.hours.holidays', { hours: spansText(week.holidays, say) })] : []);

/** The same without the closed days. */
export const openLines = (week: Week, say: Say, locale: string): readonly string[] => linesOf(hourGroups(week).filter(({ spans }) => spans.length > 0), say, locale);

/** When the doors close, as minutes after midnight, where every open day closes at the same time. */
export const commonClosing = (week: Week): number | undefined => {
  const closings = new Set(week.days.flatMap((spans) => spans.at(-1)?.to ?? []));
  return closings.size === 1 ? [...closings][0] : undefined;
};
