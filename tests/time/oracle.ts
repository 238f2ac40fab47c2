import { IANAZone } from 'luxon';
import { DateTime, RRuleSet } from 'rrule-rust';

// An independent implementation of RFC 5545 with its own zone data. Its wall times and moments are
// compared. Not compared, because they are this library's own doing: days on which the asked time
// is skipped, and days whose midnight is skipped or comes twice, which it drops at any hour.

type Occurrence = { readonly date: string; readonly time: string; readonly at: number };

const compact = (text: string): string => text.replaceAll('-', '').replaceAll(':', '');

/** Occurrences of `rule` from `from` to `to`, local dates, both included. */
export const oracleBetween = (
  rule: string,
  start: string,
  time: string,
  zone: string,
  from: string,
  to: string,
): readonly Occurrence[] => {
  const set = RRuleSet.fromString<DateTime<{ hour: number; minute: number; second: number; utc: boolean }>>(
    `DTSTART;TZID=${zone}:${compact(start)}T${compact(time)}00\nRRULE:${rule}`,
  );
  // The bounds are read as UTC: a day more on each side, cut off by local date below.
  const bound = (date: string, days: number): ReturnType<typeof DateTime.utc> => {
    const moved = new Date(Date.parse(`${date}T00:00Z`) + days * 86_400_000);
    return DateTime.utc(moved.getUTCFullYear(), moved.getUTCMonth() + 1, moved.getUTCDate(), 0, 0, 0);
  };
  return set
    .between(bound(from, -2), bound(to, 3), true)
    .map((found) => {
      const text = found.toString();
      return {
        date: `${text.slice(0, 4)}-${text.slice(4, 6)}-${text.slice(6, 8)}`,
        time: `${text.slice(9, 11)}:${text.slice(11, 13)}`,
        at: found.toTimestamp(),
      };
    })
    .filter(({ date }) => from <= date && date <= to);
};

const HOUR = 3_600_000;

const DAY = 24 * HOUR;

const remembered = new Map<string, Map<number, readonly number[]>>();

/** The distances from UTC, in milliseconds, that a zone has within 30 hours of a day. */
const offsetsAround = (zone: IANAZone, day: number): readonly number[] => {
  const ofZone = remembered.get(zone.name) ?? new Map<number, readonly number[]>();
  remembered.set(zone.name, ofZone);
  const known = ofZone.get(day);
  if (known !== undefined) return known;
  const ends = [-30, 12, 54].map((hour) => zone.offset(day * DAY + hour * HOUR));
  const calm = ends.every((offset) => offset === ends[0]);
  const hourly = Array.from({ length: 85 }, (_, i) => i - 30);
  const all = calm ? ends : hourly.map((hour) => zone.offset(day * DAY + hour * HOUR));
  const offsets = [...new Set(all)].map((minutes) => minutes * 60_000);
  ofZone.set(day, offsets);
  return offsets;
};

/**
 * All moments at which a zone's wall clock shows a time on a date, in order: by trying every
 * distance from UTC that the zone has around it. None if a clock change skips the time.
 */
export const momentsShown = (date: string, time: string, zoneName: string): readonly number[] => {
  const zone = IANAZone.create(zoneName);
  const asUtc = Date.parse(`${date}T${time}Z`);
  const offsets = offsetsAround(zone, Math.floor(asUtc / DAY));
  return offsets
    .map((offset) => asUtc - offset)
    .filter((at) => offsets.length === 1 || zone.offset(at) * 60_000 === asUtc - at)
    .toSorted((a, b) => a - b);
};

export const isShown = (date: string, time: string, zone: string): boolean =>
  momentsShown(date, time, zone).length > 0;

export const hasOneMidnight = (date: string, zone: string): boolean =>
  momentsShown(date, '00:00', zone).length === 1;
