import { isOpenDay, LONGEST_CLOSURE_DAYS, type CafeHours } from '../cafe/hours.ts';
import type { Instant } from '../time/instant.ts';
import { fromDay, type LocalDate } from '../time/local-date.ts';
import { dayAt } from '../time/wall-time.ts';

export type Counter = 'coffees' | 'litres' | 'kg';

/** What a counter said; `anew`: it began again before this reading, so the one before says nothing about what lies between. */
export type Reading = { readonly at: Instant; readonly value: number; readonly anew: boolean };

/** Readings less than so many open days apart say little about a usual day; those older than this say little about today's. Assumed. */
const LEAST_APART = 5;
const OLDEST = 90;

/** Open days between two instants, the first one left out; a day under way counts as one. */
export const openDaysBetween = (cafe: CafeHours, from: Instant, to: Instant): number => {
  const last = dayAt(to, cafe.zone).day;
  let days = 0;
  for (let day = dayAt(from, cafe.zone).day + 1; day <= last; day += 1) if (isOpenDay(cafe, day)) days += 1;
  return days;
};

const sorted = (readings: readonly Reading[]): readonly Reading[] => [...readings].sort((a, b) => a.at - b.at);

/** Use on an open day, as the newest readings tell it; undefined while they tell nothing. */
export const paceOf = (given: readonly Reading[], cafe: CafeHours): number | undefined => {
  const readings = sorted(given);
  const last = readings.at(-1);
  if (!last) return undefined;
  const since = readings.findLastIndex(({ anew }) => anew);
  const run = readings.slice(Math.max(0, since)).filter(({ at }) => last.at - at <= OLDEST * 86_400_000);
  const [first] = run;
  if (!first) return undefined;
  const days = openDaysBetween(cafe, first.at, last.at);
  return days >= LEAST_APART ? (last.value - first.value) / days : undefined;
};

/** What was used between two instants: as the counter tells it where it does, else so much an open day. */
export const usedBetween = (given: readonly Reading[], perDay: number, cafe: CafeHours, from: Instant, to: Instant): number => {
  if (to <= from) return 0;
  const readings = sorted(given);
  const reckoned = (a: Instant, b: Instant): number => (b > a ? perDay * openDaysBetween(cafe, a, b) : 0);
  const [first] = readings;
  const last = readings.at(-1);
  if (!first || !last) return reckoned(from, to);
  const later = (a: Instant, b: Instant): Instant => (a > b ? a : b);
  const sooner = (a: Instant, b: Instant): Instant => (a < b ? a : b);
  const before = reckoned(from, sooner(to, first.at));
  const after = reckoned(later(from, last.at), to);
  const between = readings.slice(1).reduce((sum, next, i) => {
    const prior = readings[i] as Reading;
    const a = later(from, prior.at);
    const b = sooner(to, next.at);
    if (b <= a) return sum;
    if (next.anew) return sum + reckoned(a, b);
    const whole = openDaysBetween(cafe, prior.at, next.at);
    const share = whole > 0 ? openDaysBetween(cafe, a, b) / whole : (b - a) / (next.at - prior.at);
    return sum + (next.value - prior.value) * share;
  }, 0);
  return before + between + after;
};

export type Wish = { readonly every: number; readonly since: Instant; readonly readings: readonly Reading[]; readonly perDay: number };

/** The day on which so much will have been used since the last time, weeks away left out; null if not within three years. */
export const useDay = ({ every, since, readings, perDay }: Wish, cafe: CafeHours, now: Instant): LocalDate | null => {
  const today = dayAt(now, cafe.zone).day;
  let left = every - usedBetween(readings, perDay, cafe, since, now);
  if (left <= 0) return fromDay(today);
  if (perDay <= 0) return null;
  for (let day = today + 1; day <= today + 3 * LONGEST_CLOSURE_DAYS; day += 1) {
    if (isOpenDay(cafe, day)) left -= perDay;
    if (left <= 0) return fromDay(day);
  }
  return null;
};

export type Judged = { readonly kind: 'fine' } | { readonly kind: 'lower'; readonly than: number } | { readonly kind: 'much'; readonly perDay: number };

/** More than so many usual days on one is asked about. Assumed. */
const MUCH = 5;

/** A reading held against the one before and the café's usual day: taken, or asked about. */
export const judge = (value: number, at: Instant, before: readonly Reading[], usual: number, cafe: CafeHours): Judged => {
  const last = sorted(before).at(-1);
  if (!last) return { kind: 'fine' };
  if (value < last.value) return { kind: 'lower', than: last.value };
  const days = Math.max(1, openDaysBetween(cafe, last.at, at));
  const perDay = (value - last.value) / days;
  return perDay > MUCH * usual ? { kind: 'much', perDay } : { kind: 'fine' };
};
