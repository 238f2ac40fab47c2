import { describe, expect, it } from 'vitest';
import {
  type CafeHours,
  NEVER,
  businessDateAt,
  closingOf,
  isOpenAt,
  isOpenOn,
  lastOpenDate,
  nextOpenDate,
  nextOpening,
  openTimesOn,
  openingOf,
} from '../../src/cafe/hours.ts';
import { afterRush, isRushAt, momentOn } from '../../src/cafe/hours-moments.ts';
import { parseHours } from '../../src/cafe/hours-text.ts';
import { type Instant, instant } from '../../src/time/instant.ts';
import { localDate } from '../../src/time/local-date.ts';
import { localAt, localTime } from '../../src/time/wall-time.ts';

const cafe = (zone: string, door: string, more: Partial<CafeHours> = {}): CafeHours => {
  const parsed = parseHours(door);
  if (!parsed.ok) throw new Error(`${door}: ${parsed.problem} at ${parsed.at}`);
  return {
    zone,
    week: parsed.week,
    exceptions: [],
    holidays: new Set(),
    cleaningMinutes: 30,
    quiet: null,
    rush: NEVER,
    ...more,
  };
};

const weekOf = (door: string) => {
  const parsed = parseHours(door);
  if (!parsed.ok) throw new Error(door);
  return parsed.week.days;
};

const at = (utc: string): Instant => instant(Date.parse(utc));
const utc = (moment: Instant | null): string | null =>
  moment === null ? null : new Date(moment).toISOString().slice(0, 16);
const local = (moment: Instant | null, zone: string): string | null => {
  if (moment === null) return null;
  const { date, time } = localAt(moment, zone);
  return `${date} ${time}`;
};

const LANTERN = cafe('Europe/Madrid', 'tue-sun 8-22:30, closed mon');
const BAR = cafe('Europe/Madrid', 'mon-thu 18-23, fri, sat 18-2, sun 12-16, 18-23');

describe('open and closed', () => {
  it.each([
    ['2026-11-24T06:59Z', false],
    ['2026-11-24T07:00Z', true],
    ['2026-11-24T21:29Z', true],
    ['2026-11-24T21:30Z', false],
    ['2026-11-23T11:00Z', false],
  ])('a café that is closed on Mondays at %s: %s', (moment, open) => {
    expect(isOpenAt(LANTERN, at(moment))).toBe(open);
  });

  it('counts the hours past midnight to the evening before', () => {
    expect(isOpenAt(BAR, at('2026-11-28T00:59Z'))).toBe(true);
    expect(isOpenAt(BAR, at('2026-11-28T01:00Z'))).toBe(false);
    expect(isOpenAt(BAR, at('2026-11-27T00:30Z'))).toBe(false);
    expect(utc(closingOf(BAR, localDate('2026-11-27')))).toBe('2026-11-28T01:00');
    expect(businessDateAt(BAR, at('2026-11-28T00:30Z'))).toBe('2026-11-27');
    expect(businessDateAt(BAR, at('2026-11-28T01:10Z'))).toBe('2026-11-28');
    expect(businessDateAt(BAR, at('2026-11-28T01:10Z'), 60)).toBe('2026-11-27');
    expect(businessDateAt(LANTERN, at('2026-11-25T23:30Z'), 180)).toBe('2026-11-26');
  });

  it('names both openings of a day with a break', () => {
    expect(openTimesOn(BAR, localDate('2026-11-29')).map(({ opens, closes }) => [utc(opens), utc(closes)])).toEqual([
      ['2026-11-29T11:00', '2026-11-29T15:00'],
      ['2026-11-29T17:00', '2026-11-29T22:00'],
    ]);
    expect(utc(openingOf(BAR, localDate('2026-11-29')))).toBe('2026-11-29T11:00');
    expect(openingOf(LANTERN, localDate('2026-11-23'))).toBeNull();
    expect(closingOf(LANTERN, localDate('2026-11-23'))).toBeNull();
  });

  it('finds the next opening, today or after a closed day', () => {
    expect(utc(nextOpening(LANTERN, at('2026-11-22T07:00Z')))).toBe('2026-11-24T07:00');
    expect(utc(nextOpening(LANTERN, at('2026-11-22T06:59Z')))).toBe('2026-11-22T07:00');
    expect(utc(nextOpening(BAR, at('2026-11-29T12:00Z')))).toBe('2026-11-29T17:00');
  });
});

describe('exceptions', () => {
  const away = cafe('Europe/Madrid', 'tue-sun 8-22:30', {
    exceptions: [
      { kind: 'closed', from: localDate('2026-08-10'), to: localDate('2026-08-31') },
      { kind: 'open', date: localDate('2026-08-15'), spans: [{ from: 600, to: 840 }] },
      { kind: 'open', date: localDate('2026-11-23'), spans: [{ from: 540, to: 1560 }] },
      { kind: 'closed', from: localDate('2026-12-24'), to: localDate('2026-12-24') },
    ],
    holidays: new Set([localDate('2026-12-25'), localDate('2026-11-23')]),
  });

  it('lets the last one said hold, over weeks away, holidays and the weekday', () => {
    expect(isOpenOn(away, localDate('2026-08-14'))).toBe(false);
    expect(utc(openingOf(away, localDate('2026-08-15')))).toBe('2026-08-15T08:00');
    expect(isOpenOn(away, localDate('2026-08-31'))).toBe(false);
    expect(isOpenOn(away, localDate('2026-09-01'))).toBe(true);
    expect(utc(closingOf(away, localDate('2026-11-23')))).toBe('2026-11-24T01:00');
    expect(isOpenOn(away, localDate('2026-12-24'))).toBe(false);
    expect(isOpenOn(away, localDate('2026-12-25'))).toBe(false);
  });

  it('finds open dates across three weeks away', () => {
    expect(nextOpenDate(away, localDate('2026-08-15'))).toBe('2026-09-01');
    expect(lastOpenDate(away, localDate('2026-09-01'))).toBe('2026-08-15');
    expect(lastOpenDate(away, localDate('2026-08-15'))).toBe('2026-08-09');
  });

  it('gives holidays their own hours when the door names them', () => {
    const named = cafe('Europe/Madrid', 'every day 8-20, holidays 10-14', {
      holidays: new Set([localDate('2026-12-25')]),
    });
    expect(utc(openingOf(named, localDate('2026-12-25')))).toBe('2026-12-25T09:00');
    expect(utc(openingOf(named, localDate('2026-12-26')))).toBe('2026-12-26T07:00');
  });

  it('answers that it never opens again instead of searching for ever', () => {
    const shut = cafe('Europe/Madrid', 'every day 8-20', {
      exceptions: [{ kind: 'closed', from: localDate('2026-01-01'), to: localDate('2999-12-31') }],
    });
    expect(nextOpenDate(shut, localDate('2026-01-01'))).toBeNull();
    expect(nextOpening(shut, at('2026-01-01T12:00Z'))).toBeNull();
  });
});

// Clock changes: London 2026-03-29T01Z and 2026-10-25T01Z (zone data 2025b).
describe('around clock changes', () => {
  const night = cafe('Europe/London', 'every day 20-26');

  it('closes a night that loses an hour when the hour is lost', () => {
    expect(utc(closingOf(night, localDate('2026-03-28')))).toBe('2026-03-29T01:00');
    expect(isOpenAt(night, at('2026-03-29T00:59Z'))).toBe(true);
    expect(isOpenAt(night, at('2026-03-29T01:00Z'))).toBe(false);
  });

  it('stays open for both hours of a night that gains one', () => {
    expect(utc(closingOf(night, localDate('2026-10-24')))).toBe('2026-10-25T02:00');
    expect(isOpenAt(night, at('2026-10-25T01:30Z'))).toBe(true);
  });

  it('starts cleaning half an hour before closing as time passes, not on the dial', () => {
    const spring = momentOn(night, localDate('2026-03-28'), { kind: 'at-closing' });
    expect(utc(spring)).toBe('2026-03-29T00:30');
    const autumn = momentOn(night, localDate('2026-10-24'), { kind: 'at-closing' });
    expect(utc(autumn)).toBe('2026-10-25T01:30');
  });

  it('moves a closing in the lost hour on, and takes the first of two', () => {
    const late = cafe('Europe/London', 'every day 20-25:30');
    expect(local(closingOf(late, localDate('2026-03-28')), 'Europe/London')).toBe('2026-03-29 02:30');
    expect(utc(closingOf(late, localDate('2026-10-24')))).toBe('2026-10-25T00:30');
  });

  it('opens at the same wall time on the day after', () => {
    const morning = cafe('Europe/London', 'every day 7-18');
    expect(utc(openingOf(morning, localDate('2026-03-28')))).toBe('2026-03-28T07:00');
    expect(utc(openingOf(morning, localDate('2026-03-29')))).toBe('2026-03-29T06:00');
    expect(utc(openingOf(morning, localDate('2026-10-25')))).toBe('2026-10-25T07:00');
  });

  // America/Nuuk skipped 23:00 to 24:00 on 2025-03-29 (tz database, file europe).
  it('keeps a closing in the last hour of a day on its day when that hour is lost', () => {
    const nuuk = cafe('America/Godthab', 'every day 8-23:30');
    expect(local(closingOf(nuuk, localDate('2025-03-29')), nuuk.zone)).toBe('2025-03-29 22:59');
    expect(local(closingOf(nuuk, localDate('2025-03-30')), nuuk.zone)).toBe('2025-03-30 23:30');
  });

  // Samoa had no 30 December 2011 (tz database, file australasia).
  it('is not open on a date that the zone leaves out', () => {
    const apia = cafe('Pacific/Apia', 'every day 8-18');
    expect(isOpenOn(apia, localDate('2011-12-30'))).toBe(false);
    expect(nextOpenDate(apia, localDate('2011-12-29'))).toBe('2011-12-31');
  });

  it('is open in both of two equal hours, and not in one that does not exist', () => {
    const small = cafe('Europe/London', 'every day 1:15-1:45');
    expect(isOpenAt(small, at('2026-10-25T00:30Z'))).toBe(true);
    expect(isOpenAt(small, at('2026-03-29T01:30Z'))).toBe(true);
    const gone = cafe('Europe/London', 'every day 1:30-2:15');
    const [only] = openTimesOn(gone, localDate('2026-03-29'));
    expect(only?.opens).toBe(only?.closes);
  });
});

describe('moments of a day', () => {
  const monday = localDate('2026-11-23');
  const friday = localDate('2026-11-27');
  const zone = 'Europe/Madrid';
  const cold = { kind: 'cold', minutes: 60, onClosedDay: localTime('10:00') } as const;
  const moments = (of: CafeHours, date: typeof monday) => ({
    opening: local(momentOn(of, date, { kind: 'before-opening', minutes: 30 }), zone),
    closing: local(momentOn(of, date, { kind: 'at-closing' }), zone),
    quiet: local(momentOn(of, date, { kind: 'quiet' }), zone),
    clock: local(momentOn(of, date, { kind: 'clock', time: localTime('01:00') }), zone),
    cold: local(momentOn(of, date, cold), zone),
  });

  it('follows the hours of a day that is open', () => {
    expect(moments(LANTERN, friday)).toEqual({
      opening: '2026-11-27 07:30',
      closing: '2026-11-27 22:00',
      quiet: '2026-11-27 15:00',
      clock: '2026-11-27 01:00',
      cold: '2026-11-27 07:00',
    });
  });

  it('has only clock times and cold jobs on a closed day', () => {
    expect(moments(LANTERN, monday)).toEqual({
      opening: null,
      closing: null,
      quiet: null,
      clock: '2026-11-23 01:00',
      cold: '2026-11-23 10:00',
    });
  });

  it('counts clock times past midnight to the evening in a bar that is open then', () => {
    expect(moments(BAR, friday)).toEqual({
      opening: '2026-11-27 17:30',
      closing: '2026-11-28 01:30',
      quiet: '2026-11-27 22:00',
      clock: '2026-11-28 01:00',
      cold: '2026-11-27 17:00',
    });
  });

  it('takes the café’s own quiet hour before the usual one, and none in the rush', () => {
    const own = { ...LANTERN, quiet: weekOf('tue-fri 10:30-11:30') };
    expect(moments(own, friday).quiet).toBe('2026-11-27 10:30');
    expect(moments(own, localDate('2026-11-28')).quiet).toBe('2026-11-28 15:00');
    const busy = { ...LANTERN, rush: weekOf('every day 15-16') };
    expect(moments(busy, friday).quiet).toBe('2026-11-27 16:00');
    const wholly = { ...LANTERN, rush: weekOf('every day 13:00-18:00') };
    expect(moments(wholly, friday).quiet).toBe('2026-11-27 10:30');
  });

  it('starts cleaning at opening when the day is shorter than the cleaning', () => {
    const short = cafe(zone, 'fri 8:00-8:20');
    expect(moments(short, friday).closing).toBe('2026-11-27 08:00');
  });

  it('knows the rush, past midnight too, and when it ends', () => {
    const busy = { ...BAR, rush: weekOf('fri, sat 22-25, every day 19-20') };
    expect(isRushAt(busy, at('2026-11-27T23:30Z'))).toBe(true);
    expect(isRushAt(busy, at('2026-11-28T00:00Z'))).toBe(false);
    expect(utc(afterRush(busy, at('2026-11-27T23:30Z')))).toBe('2026-11-28T00:00');
    expect(utc(afterRush(busy, at('2026-11-27T18:30Z')))).toBe('2026-11-27T19:00');
    expect(utc(afterRush(busy, at('2026-11-27T20:00Z')))).toBe('2026-11-27T20:00');
  });
});
