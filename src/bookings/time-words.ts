import { hours, instant, later, type Instant } from '../time/instant.ts';
import { dayNumberOf, fromDay, monthLength, weekdayOf, type DayNumber } from '../time/local-date.ts';
import { dayAt, instantOnDay } from '../time/wall-time.ts';
import type { Span } from './span.ts';

/** Words for days in one language, lower case: as they are written, without points. */
export type DayWords = {
  readonly today: readonly string[];
  readonly tomorrow: readonly string[];
  /** Monday first; each with its short forms. */
  readonly weekdays: readonly (readonly string[])[];
  readonly months: readonly (readonly string[])[];
};

/** When a visit can be understood, in order of the words: on which day, from when, and until when if that was said. */
export type TimeWords = { readonly kind: 'time'; readonly span: Span } | { readonly kind: 'no day' | 'no time' | 'past' };

/** Assumed (common practice, no source): before this hour nobody visits, so "4" and "4:30" are the afternoon. */
const earliestBareHour = 7;

const clockPattern = /(?:^|[^\d.:/])(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|h)?(?=$|[^\d:])/g;

type Clock = { readonly minutes: number };

const clocksIn = (text: string): readonly Clock[] =>
  [...text.matchAll(clockPattern)].flatMap((found) => {
    const [hour, minute, half] = [Number(found[1]), Number(found[2] ?? 0), found[3]];
    if (hour > 23 || minute > 59) return [];
    // "03:30" is written by whoever means the night; "3:30" and "4" are the afternoon.
    const bare = half === undefined && !found[1]?.startsWith('0');
    const shifted = half === 'pm' && hour < 12 ? hour + 12 : half === 'am' && hour === 12 ? 0 : bare && hour > 0 && hour < earliestBareHour ? hour + 12 : hour;
    return [{ minutes: shifted * 60 + minute }];
  });

const wordsOf = (text: string): readonly string[] => text.split(/[^\p{L}\p{N}]+/u).filter((word) => word !== '');

/** With a slash it is a date wherever it stands; with a point or a hyphen only where no day is named, since times are written so too. */
const surelyDate = /\b(\d{1,2})\/(\d{1,2})(?:\/(\d{4}))?\b/;
const perhapsDate = /\b(\d{1,2})[.-](\d{1,2})(?:[.-](\d{4})\b|\.|\b)/;

type Found = { readonly day: DayNumber; readonly rest: string };

const numbered = (year: number, month: number, day: number, today: DayNumber): DayNumber | undefined => {
  const at = (y: number): DayNumber | undefined => (month >= 1 && month <= 12 && day >= 1 && day <= monthLength(y, month) ? dayNumberOf(y, month, day) : undefined);
  const found = at(year);
  return found !== undefined && found < today ? at(year + 1) : found;
};

const dated = (text: string, pattern: RegExp, year: number, today: DayNumber): Found | undefined => {
  const found = pattern.exec(text);
  const day = found ? numbered(found[3] === undefined ? year : Number(found[3]), Number(found[2]), Number(found[1]), today) : undefined;
  return found && day !== undefined ? { day, rest: text.replace(found[0], ' ') } : undefined;
};

const dayIn = (text: string, today: DayNumber, words: DayWords): Found | undefined => {
  const iso = /\b(\d{4})-(\d{2})-(\d{2})\b/.exec(text);
  const year = Number(fromDay(today).slice(0, 4));
  if (iso) return { day: dayNumberOf(Number(iso[1]), Number(iso[2]), Number(iso[3])), rest: text.replace(iso[0], ' ') };
  const all = wordsOf(text);
  const month = words.months.findIndex((names) => names.some((name) => all.includes(name)));
  const named = month < 0 ? null : new RegExp(`\\b(\\d{1,2})(?:st|nd|rd|th)?\\.?\\s+(?:\\p{L}+\\s+)?(?:${words.months[month]?.join('|')})\\b|\\b(?:${words.months[month]?.join('|')})\\.?\\s+(\\d{1,2})(?:st|nd|rd|th)?\\b`, 'u').exec(text);
  if (named) {
    const day = numbered(year, month + 1, Number(named[1] ?? named[2]), today);
    return day === undefined ? undefined : { day, rest: text.replace(named[0], ' ') };
  }
  const sure = dated(text, surelyDate, year, today);
  if (sure) return sure;
  if (words.today.some((name) => all.includes(name))) return { day: today, rest: text };
  if (words.tomorrow.some((name) => all.includes(name))) return { day: today + 1, rest: text };
  const weekday = words.weekdays.findIndex((names) => names.some((name) => all.includes(name))) + 1;
  return weekday === 0 ? dated(text, perhapsDate, year, today) : { day: today + ((weekday - weekdayOf(today) + 7) % 7), rest: text };
};

/**
 * Reads "wed 15:30", "tomorrow at 4", "today 16", "thu 9 to 11", "12 march 15:30". A weekday is the next one from today
 * on; a time that is past today means nothing else. `lengthMs` where no end is said. Times are on the wall clock of `zone`.
 */
export const readTime = (text: string, now: Instant, zone: string, words: DayWords, lengthMs: number): TimeWords => {
  const low = text.toLowerCase();
  const today = dayAt(now, zone).day;
  const found = dayIn(low, today, words);
  const [from, to] = clocksIn(found?.rest ?? low);
  if (!from) return { kind: 'no time' };
  if (!found) return { kind: 'no day' };
  const start = instantOnDay(found.day, from.minutes, zone);
  const again = start <= now && found.day === today && words.weekdays.flat().some((name) => wordsOf(low).includes(name)) ? instantOnDay(found.day + 7, from.minutes, zone) : start;
  if (again <= now) return { kind: 'past' };
  const end = to && to.minutes > from.minutes ? later(again, (to.minutes - from.minutes) * 60_000) : later(again, lengthMs);
  return { kind: 'time', span: { start: again, end } };
};

/** The furthest ahead a visit is agreed on. */
export const furthestAhead = hours(24 * 120);

export const isTooFar = (span: Span, now: Instant): boolean => span.start > instant(now + furthestAhead);
