import { describe, expect, it } from 'vitest';
import { instant } from '../../src/time/instant.ts';
import { localDate, weekdayOfDate } from '../../src/time/local-date.ts';
import {
  instantOf,
  localAt,
  localTime,
  parseLocalTime,
  zoneDataVersion,
} from '../../src/time/wall-time.ts';

const utc = (text: string): number => Date.parse(text);
const moment = (zone: string, date: string, time: string): number =>
  instantOf(localDate(date), localTime(time), zone);

// Computed outside this project with the system's zone data (2025b) in two other languages, which
// agreed; the rows of New York 2007 are printed in RFC 5545 section 3.3.5.
const CLOCK_CHANGES = [
  ['Europe/London', '2026-03-29', '01:30', '2026-03-29T01:30Z', '02:30'],
  ['Europe/London', '2026-10-25', '01:30', '2026-10-25T00:30Z', '01:30'],
  ['America/New_York', '2026-03-08', '02:30', '2026-03-08T07:30Z', '03:30'],
  ['America/New_York', '2026-11-01', '01:30', '2026-11-01T05:30Z', '01:30'],
  ['America/New_York', '2007-03-11', '02:30', '2007-03-11T07:30Z', '03:30'],
  ['America/New_York', '2007-11-04', '01:30', '2007-11-04T05:30Z', '01:30'],
  ['Australia/Sydney', '2026-10-04', '02:30', '2026-10-03T16:30Z', '03:30'],
  ['Australia/Sydney', '2026-04-05', '02:30', '2026-04-04T15:30Z', '02:30'],
  ['Australia/Lord_Howe', '2026-10-04', '02:15', '2026-10-03T15:45Z', '02:45'],
  ['Australia/Lord_Howe', '2026-04-05', '01:45', '2026-04-04T14:45Z', '01:45'],
  ['America/Sao_Paulo', '2018-11-04', '00:30', '2018-11-04T03:30Z', '01:30'],
  ['America/Sao_Paulo', '2019-02-16', '23:30', '2019-02-17T01:30Z', '23:30'],
  ['America/Sao_Paulo', '2026-11-01', '00:30', '2026-11-01T03:30Z', '00:30'],
  ['Africa/Casablanca', '2026-02-15', '02:30', '2026-02-15T01:30Z', '02:30'],
  ['Africa/Casablanca', '2026-03-22', '02:30', '2026-03-22T02:30Z', '03:30'],
  ['Asia/Kathmandu', '2026-06-01', '06:00', '2026-06-01T00:15Z', '06:00'],
] as const;

// The same source: 09:00 on the days before and on which the clocks change.
const NINE_O_CLOCK = [
  ['Europe/London', '2026-03-28', '2026-03-28T09:00Z'],
  ['Europe/London', '2026-03-29', '2026-03-29T08:00Z'],
  ['Europe/London', '2026-10-24', '2026-10-24T08:00Z'],
  ['Europe/London', '2026-10-25', '2026-10-25T09:00Z'],
  ['America/New_York', '2026-03-07', '2026-03-07T14:00Z'],
  ['America/New_York', '2026-03-08', '2026-03-08T13:00Z'],
  ['America/New_York', '2026-10-31', '2026-10-31T13:00Z'],
  ['America/New_York', '2026-11-01', '2026-11-01T14:00Z'],
  ['Australia/Lord_Howe', '2026-04-04', '2026-04-03T22:00Z'],
  ['Australia/Lord_Howe', '2026-04-05', '2026-04-04T22:30Z'],
  ['Australia/Lord_Howe', '2026-10-03', '2026-10-02T22:30Z'],
  ['Australia/Lord_Howe', '2026-10-04', '2026-10-03T22:00Z'],
] as const;

describe(`wall clock to moment, zone data ${zoneDataVersion()}`, () => {
  it.each(CLOCK_CHANGES)('%s %s %s is %s and reads %s', (zone, date, time, at, shown) => {
    const found = moment(zone, date, time);
    expect(new Date(found).toISOString()).toBe(new Date(utc(at)).toISOString());
    expect(localAt(instant(found), zone)).toMatchObject({ date, time: shown });
  });

  it.each(NINE_O_CLOCK)('09:00 in %s on %s is %s', (zone, date, at) => {
    expect(moment(zone, date, '09:00')).toBe(utc(at));
  });

  // Samoa had no 30 December 2011: tz database, file australasia.
  it('moves a time on a day that a zone left out by a whole day', () => {
    const found = instant(moment('Pacific/Apia', '2011-12-30', '10:00'));
    expect(localAt(found, 'Pacific/Apia')).toEqual({
      date: '2011-12-31',
      time: '10:00',
      weekday: 6,
    });
  });

  it('refuses a zone that does not exist instead of using the host’s', () => {
    expect(() => moment('Europe/Nowhere', '2026-01-01', '09:00')).toThrow(RangeError);
  });
});

// [zone, moment of the change, offset before and after in minutes]; same source as above.
const TRANSITIONS = [
  ['Europe/London', '2025-03-30T01:00Z', 0, 60],
  ['Europe/London', '2025-10-26T01:00Z', 60, 0],
  ['Europe/London', '2027-03-28T01:00Z', 0, 60],
  ['Europe/London', '2027-10-31T01:00Z', 60, 0],
  ['America/New_York', '2027-03-14T07:00Z', -300, -240],
  ['America/New_York', '2027-11-07T06:00Z', -240, -300],
  ['Australia/Sydney', '2027-04-03T16:00Z', 660, 600],
  ['Australia/Sydney', '2027-10-02T16:00Z', 600, 660],
  ['Australia/Lord_Howe', '2026-04-04T15:00Z', 660, 630],
  ['Australia/Lord_Howe', '2026-10-03T15:30Z', 630, 660],
  ['America/Sao_Paulo', '2018-02-18T02:00Z', -120, -180],
  ['America/Sao_Paulo', '2018-11-04T03:00Z', -180, -120],
  ['America/Sao_Paulo', '2019-02-17T02:00Z', -120, -180],
  ['Africa/Casablanca', '2025-02-23T02:00Z', 60, 0],
  ['Africa/Casablanca', '2025-04-06T02:00Z', 0, 60],
] as const;

describe('moment to wall clock', () => {
  it.each(TRANSITIONS)('%s changes at %s, to the minute', (zone, at, before, after) => {
    const minuteOfDay = (ms: number): number => ((ms / 60_000) % 1440 + 1440) % 1440;
    const shown = (ms: number): string => localAt(instant(ms), zone).time;
    const dial = (minutes: number): string =>
      new Date(((minutes % 1440) + 1440) % 1440 * 60_000).toISOString().slice(11, 16);
    const change = utc(at);
    expect(shown(change - 60_000)).toBe(dial(minuteOfDay(change) - 1 + before));
    expect(shown(change)).toBe(dial(minuteOfDay(change) + after));
  });

  it('names weekdays as ISO 8601 does, Monday 1 to Sunday 7', () => {
    expect(weekdayOfDate(localDate('2026-11-23'))).toBe(1);
    expect(weekdayOfDate(localDate('2026-11-29'))).toBe(7);
    expect(weekdayOfDate(localDate('1969-12-31'))).toBe(3);
  });
});

describe('text that is no date or time', () => {
  it.each(['24:00', '7:30', '07:60', '0730', '', '07:30:00'])('refuses the time "%s"', (text) => {
    expect(parseLocalTime(text)).toBeNull();
  });

  it.each(['2026-02-29', '2026-13-01', '2026-00-10', '2026-1-1', '26-01-01', '2026-01-32', ''])(
    'refuses the date "%s"',
    (text) => {
      expect(() => localDate(text)).toThrow(RangeError);
    },
  );
});
