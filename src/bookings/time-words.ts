import { hours, instant, later, type Instant } from '../time/instant.ts';
import { dayNumberOf, fromDay, weekdayOf, type DayNumber } from '../time/local-date.ts';
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

/** Assumed (common practice, no source): a bare "4" in a café's day is the afternoon; work begins at seven. */
const earliestBareHour = 7;

const clockPattern = /(?:^|[^\d.:/-])(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|h)?(?=$|[^\d:])/g;

type Clock = { readonly minutes: number };

const clocksIn = (text: string): readonly Clock[] =>
  [...text.matchAll(clockPattern)].flatMap((found) => {
    const [hour, minute, half] = [Number(found[1]), Number(found[2] ?? 0), found[3]];
    if (hour > 23 || minute > 59) return [];
    const bare = found[2] === undefined && half === undefined;
    const shifted = half === 'pm' && hour < 12 ? hour + 12 : half === 'am' && hour === 12 ? 0 : bare && hour > 0 && hour < earliestBareHour ? hour + 12 : hour;
    return [{ minutes: shifted * 60 + minute }];
  });

const wordsOf = (text: string): readonly string[] => text.split(/[^\p{L}\p{N}]+/u).filter((word) => word !== '');

const datePattern = /\b(\d{1,2})[./-](\d{1,2})(?:[./-](\d{4}))?\b/;

type Found = { readonly day: DayNumber; readonly rest: string };

const numbered = (year: number, month: number, day: number, today: DayNumber): DayNumber | undefined => {
  if (month < 1 || month > 12 || day < 1 || day > 31) return undefined;
  const found = dayNumberOf(year, month, day);
  return found >= today ? found : dayNumberOf(year + 1, month, day);
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
  const slashed = datePattern.exec(text);
  if (slashed) {
    const day = numbered(slashed[3] === undefined ? year : Number(slashed[3]), Number(slashed[2]), Number(slashed[1]), today);
    if (day !== undefined) return { day, rest: text.replace(slashed[0], ' ') };
  }
  if (words.today.some((name) => all.includes(name))) return { day: today, rest: text };
  if (words.tomorrow.some((name) => all.includes(name))) return { day: today + 1, rest: text };
  const weekday = words.weekdays.findIndex((names) => names.some((name) => all.includes(name))) + 1;
  if (weekday === 0) return undefined;
  return { day: today + ((weekday - weekdayOf(today) + 7) % 7), rest: text };
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
