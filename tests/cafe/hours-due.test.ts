import { describe, expect, it, test } from 'vitest';
import { type CafeHours, type HoursException, NEVER } from '../../src/cafe/hours.ts';
import { type OnClosed, type Repeat, dueAfter, duesBetween, nextDue } from '../../src/cafe/hours-due.ts';
import { type Moment, momentOn } from '../../src/cafe/hours-moments.ts';
import { parseHours } from '../../src/cafe/hours-text.ts';
import { type Instant, instant } from '../../src/time/instant.ts';
import {
  type LocalDate,
  fromDay,
  localDate,
  plusDays,
  toDay,
  weekdayOfDate,
} from '../../src/time/local-date.ts';
import { datesBetween } from '../../src/time/recurrence.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import { instantOf, localAt, localTime, timeOf } from '../../src/time/wall-time.ts';
import { isShown } from '../time/oracle.ts';
import { type Random, between, pick, randomFrom, randomRule } from '../time/random-rules.ts';

const cafe = (zone: string, door: string, exceptions: readonly HoursException[] = []): CafeHours => {
  const parsed = parseHours(door);
  if (!parsed.ok) throw new Error(`${door}: ${parsed.problem} at ${parsed.at}`);
  return {
    zone,
    week: parsed.week,
    exceptions,
    holidays: new Set(),
    cleaningMinutes: 30,
    quiet: null,
    rush: NEVER,
  };
};

const repeat = (
  rule: string,
  moment: Moment,
  onClosed: OnClosed = 'skip',
  start = '2026-01-01',
): Repeat => {
  const parsed = parseRule(rule);
  if (!parsed.ok) throw new Error(`${rule}: ${parsed.problem} at ${parsed.part}`);
  return { rule: parsed.rule, start: localDate(start), moment, onClosed };
};

const at = (utc: string): Instant => instant(Date.parse(utc));
const clock = (time: string): Moment => ({ kind: 'clock', time: localTime(time) });
const CLOSING: Moment = { kind: 'at-closing' };

/** The first due times after a moment, as the café's wall clock shows them. */
const shown = (duty: Repeat, of: CafeHours, after: string, count: number): readonly string[] =>
  duesBetween(duty, of, at(after), at('2099-01-01T00:00Z'), count).map((due) => {
    const { date, time } = localAt(due.at, of.zone);
    return `${date} ${time}`;
  });

const LANTERN = cafe('Europe/Madrid', 'tue-sun 8-22:30, closed mon');

describe('a duty on a closed day', () => {
  const mondays = 'FREQ=WEEKLY;BYDAY=MO';
  const after = '2026-11-18T12:00Z';

  it.each([
    ['open-day-before', CLOSING, ['2026-11-22 22:00', '2026-11-29 22:00']],
    ['open-day-after', CLOSING, ['2026-11-24 22:00', '2026-12-01 22:00']],
    ['skip', CLOSING, []],
    ['stay', CLOSING, ['2026-11-24 22:00', '2026-12-01 22:00']],
    ['stay', clock('11:00'), ['2026-11-23 11:00', '2026-11-30 11:00']],
    [
      'stay',
      { kind: 'cold', minutes: 90, onClosedDay: localTime('10:00') },
      ['2026-11-23 10:00', '2026-11-30 10:00'],
    ],
    [
      'open-day-before',
      { kind: 'cold', minutes: 90, onClosedDay: localTime('10:00') },
      ['2026-11-22 06:30', '2026-11-29 06:30'],
    ],
  ] as const)('%s: %j', (policy, moment, dues) => {
    expect(shown(repeat(mondays, moment, policy), LANTERN, after, 2)).toEqual(dues);
  });

  it('falls once when two of its dates move to the same open day', () => {
    const daily = repeat('FREQ=DAILY', CLOSING, 'open-day-before');
    expect(shown(daily, LANTERN, '2026-11-21T22:00Z', 3)).toEqual([
      '2026-11-22 22:00', '2026-11-24 22:00', '2026-11-25 22:00',
    ]);
    const onward = repeat('FREQ=DAILY', CLOSING, 'open-day-after');
    expect(shown(onward, LANTERN, '2026-11-21T22:00Z', 3)).toEqual([
      '2026-11-22 22:00', '2026-11-24 22:00', '2026-11-25 22:00',
    ]);
  });

  it('moves across three weeks away, one way or the other', () => {
    const away = cafe('Europe/Madrid', 'tue-sun 8-22:30', [
      { kind: 'closed', from: localDate('2026-08-10'), to: localDate('2026-08-31') },
    ]);
    const monthly = 'FREQ=MONTHLY;BYMONTHDAY=20';
    const before = repeat(monthly, CLOSING, 'open-day-before');
    expect(shown(before, away, '2026-08-01T00:00Z', 2)).toEqual(['2026-08-09 22:00', '2026-09-20 22:00']);
    const after20 = repeat(monthly, CLOSING, 'open-day-after');
    expect(shown(after20, away, '2026-08-21T00:00Z', 2)).toEqual(['2026-09-01 22:00', '2026-09-20 22:00']);
  });

  it('still reports a date that moved into the past when asked from the last one dealt with', () => {
    const tuesdays = repeat('FREQ=WEEKLY;BYDAY=TU', CLOSING, 'open-day-before');
    const ill = cafe('Europe/Madrid', 'tue-sun 8-22:30', [
      { kind: 'closed', from: localDate('2026-11-23'), to: localDate('2026-11-25') },
    ]);
    const lastDone = '2026-11-17T21:00Z';
    expect(shown(tuesdays, LANTERN, lastDone, 1)).toEqual(['2026-11-24 22:00']);
    expect(shown(tuesdays, ill, lastDone, 1)).toEqual(['2026-11-22 22:00']);
  });

  it('ends when the café is closed for good', () => {
    const shut = cafe('Europe/Madrid', 'every day 8-20', [
      { kind: 'closed', from: localDate('2026-06-01'), to: localDate('2999-12-31') },
    ]);
    for (const policy of ['skip', 'open-day-after'] as const)
      expect(dueAfter(repeat('FREQ=DAILY', CLOSING, policy), shut, at('2026-07-01T00:00Z'))).toBeNull();
  });
});

describe('due times strictly after the given one', () => {
  it('does not answer with the moment it was given', () => {
    const daily = repeat('FREQ=DAILY', clock('09:00'));
    const first = dueAfter(daily, LANTERN, at('2026-11-24T07:59:59Z'));
    expect(first).toBe(at('2026-11-24T08:00Z'));
    expect(dueAfter(daily, LANTERN, first ?? at('1970-01-01T00:00Z'))).toBe(at('2026-11-25T08:00Z'));
  });

  it('gives the business date, not the calendar’s, for an evening past midnight', () => {
    const bar = cafe('Europe/Madrid', 'fri, sat 18-2');
    const nightly = repeat('FREQ=DAILY', CLOSING);
    expect(nextDue(nightly, bar, at('2026-11-27T23:00Z'))).toEqual({
      at: at('2026-11-28T00:30Z'),
      date: '2026-11-27',
    });
  });

  it('skips months without a 31st and waits for leap days', () => {
    const daily = cafe('Europe/Madrid', 'every day 8-20');
    const last = repeat('FREQ=MONTHLY;BYMONTHDAY=31', clock('09:00'));
    expect(shown(last, daily, '2026-01-31T12:00Z', 2)).toEqual(['2026-03-31 09:00', '2026-05-31 09:00']);
    const leap = repeat('FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29', clock('09:00'));
    expect(shown(leap, daily, '2026-01-31T12:00Z', 2)).toEqual(['2028-02-29 09:00', '2032-02-29 09:00']);
  });

  it('ends with COUNT and UNTIL', () => {
    const twice = repeat('FREQ=DAILY;COUNT=2', clock('09:00'), 'open-day-after', '2026-11-24');
    expect(shown(twice, LANTERN, '2026-01-01T00:00Z', 9)).toEqual(['2026-11-24 09:00', '2026-11-25 09:00']);
    const until = repeat('FREQ=DAILY;UNTIL=20261125', clock('09:00'), 'skip', '2026-11-24');
    expect(shown(until, LANTERN, '2026-01-01T00:00Z', 9)).toEqual(['2026-11-24 09:00', '2026-11-25 09:00']);
  });
});

describe('clock changes', () => {
  const nights = (zone: string, time: string, after: string, count: number): readonly string[] =>
    shown(repeat('FREQ=DAILY', clock(time), 'skip', '2010-01-01'), cafe(zone, 'every day 8-20'), after, count);

  it('moves a job in the lost hour on, and does it once in the hour that comes twice', () => {
    expect(nights('Europe/London', '01:30', '2026-03-28T02:00Z', 2)).toEqual([
      '2026-03-29 02:30', '2026-03-30 01:30',
    ]);
    const daily = repeat('FREQ=DAILY', clock('01:30'));
    const london = cafe('Europe/London', 'every day 8-20');
    expect(dueAfter(daily, london, at('2026-10-24T12:00Z'))).toBe(at('2026-10-25T00:30Z'));
    expect(dueAfter(daily, london, at('2026-10-25T00:30Z'))).toBe(at('2026-10-26T01:30Z'));
  });

  // tz database, files southamerica, europe and australasia.
  it('never falls twice on one day, where midnight, the last hour or a whole day is lost', () => {
    expect(nights('America/Sao_Paulo', '00:30', '2018-11-03T12:00Z', 2)).toEqual([
      '2018-11-04 01:30', '2018-11-05 00:30',
    ]);
    expect(nights('America/Godthab', '23:30', '2025-03-28T12:00Z', 3)).toEqual([
      '2025-03-28 23:30', '2025-03-29 22:59', '2025-03-30 23:30',
    ]);
    expect(nights('Pacific/Apia', '10:00', '2011-12-29T12:00Z', 3)).toEqual([
      '2011-12-29 10:00', '2011-12-31 10:00', '2012-01-01 10:00',
    ]);
  });
});

const ZONES = ['Europe/Madrid', 'Europe/London', 'Atlantic/Azores', 'America/New_York', 'America/Havana',
  'America/Sao_Paulo', 'America/Godthab', 'Africa/Cairo', 'Asia/Beirut', 'Asia/Kathmandu',
  'Australia/Lord_Howe', 'Pacific/Apia', 'Pacific/Chatham'] as const;
const DOORS = ['tue-sun 8-22:30, closed mon', 'mon-fri 7:30-18, sat 9-17', 'every day 7 to 19',
  'wed, thu 18-24, fri, sat 18-26, sun 12-16', 'every day 8-12, 14-23:30', 'sat 10-14'] as const;
const POLICIES = ['open-day-before', 'open-day-after', 'skip', 'stay'] as const;

type Case = { readonly of: CafeHours; readonly duty: Repeat; readonly from: LocalDate; readonly text: string };

const randomMoment = (random: Random): Moment =>
  pick<() => Moment>(random, [
    () => ({ kind: 'before-opening', minutes: pick(random, [0, 30, 90]) }),
    () => CLOSING,
    () => ({ kind: 'quiet' }),
    () => ({ kind: 'clock', time: timeOf(between(random, 0, 95) * 15) }),
    () => ({ kind: 'cold', minutes: 60, onClosedDay: localTime('10:00') }),
  ])();

const randomExceptions = (random: Random, around: LocalDate): readonly HoursException[] =>
  Array.from({ length: between(random, 0, 8) }, () => {
    const from = plusDays(around, between(random, 0, 150));
    return random() < 0.5
      ? { kind: 'closed', from, to: plusDays(from, between(random, 0, random() < 0.6 ? 3 : 24)) }
      : { kind: 'open', date: from, spans: [{ from: 600, to: between(random, 800, 1400) }] };
  });

const randomCase = (random: Random): Case => {
  // The half year that is looked at holds a clock change wherever there are any.
  const from = fromDay(toDay(localDate(`${between(random, 1996, 2024)}-01-01`)) + between(random, 0, 364));
  const of = cafe(pick(random, ZONES), pick(random, DOORS), randomExceptions(random, from));
  const text = randomRule(random);
  const start = plusDays(from, -between(random, 0, 400));
  return { of, duty: repeat(text, randomMoment(random), pick(random, POLICIES), start), from, text };
};

const isPlannedOpen = ({ week, exceptions, zone }: CafeHours, date: LocalDate): boolean => {
  if (!isShown(date, '12:00', zone)) return false;
  const said = exceptions.filter((one) =>
    one.kind === 'open' ? one.date === date : one.from <= date && date <= one.to).at(-1);
  if (said !== undefined) return said.kind === 'open';
  return (week.days[weekdayOfDate(date) - 1] ?? []).length > 0;
};

const closedRun = (of: CafeHours, date: LocalDate): number => {
  if (isPlannedOpen(of, date)) return 0;
  let [first, last, days] = [plusDays(date, -1), plusDays(date, 1), 1];
  for (; days < 9 && !isPlannedOpen(of, first); first = plusDays(first, -1)) days += 1;
  for (; days < 9 && !isPlannedOpen(of, last); last = plusDays(last, 1)) days += 1;
  return days;
};

const doneOn = ({ of, duty }: Case, ruled: LocalDate): LocalDate | null => {
  const hangsOnHours = duty.moment.kind !== 'clock' && duty.moment.kind !== 'cold';
  let date = isShown(ruled, '12:00', of.zone) ? ruled : plusDays(ruled, 1);
  if (duty.onClosed === 'stay' && !hangsOnHours) {
    if (closedRun(of, date) >= 7) return null;
    const isHoliday = !isPlannedOpen(of, date) && (of.week.days[weekdayOfDate(date) - 1] ?? []).length > 0;
    while (isHoliday && !isPlannedOpen(of, date)) date = plusDays(date, 1);
    return date;
  }
  if (duty.onClosed === 'skip') return isPlannedOpen(of, date) ? date : null;
  const step = duty.onClosed === 'open-day-before' ? -1 : 1;
  while (!isPlannedOpen(of, date)) date = plusDays(date, step);
  return date;
};

/** The plain way: every date of the rule, walked day by day to where it is done, then sorted. */
const reference = (one: Case, days: number): readonly Instant[] => {
  const { of, duty, from } = one;
  const after = instantOf(from, localTime('00:00'), of.zone);
  const ruled = datesBetween(duty.rule, duty.start, plusDays(from, -450), plusDays(from, days));
  const moments = ruled.flatMap((date) => {
    const day = doneOn(one, date);
    const moment = day === null ? null : momentOn(of, day, duty.moment);
    return moment === null || moment <= after ? [] : [moment];
  });
  return [...new Set(moments)].toSorted((a, b) => a - b);
};

test('a weekly cold job whose day is a holiday moves to the next open morning, and the week after is as always', () => {
  const cold: Moment = { kind: 'cold', minutes: 90, onClosedDay: localTime('10:00') };
  const of = cafe('Europe/Madrid', 'tue-sun 8-22:30, closed mon', [{ kind: 'closed', from: localDate('2026-12-24'), to: localDate('2026-12-25') }]);
  expect(shown(repeat('FREQ=WEEKLY;BYDAY=TH', cold, 'stay'), of, '2026-12-18T12:00Z', 3)).toEqual(['2026-12-26 06:30', '2026-12-31 06:30', '2027-01-07 06:30']);
  const away = cafe('Europe/Madrid', 'tue-sun 8-22:30, closed mon', [{ kind: 'closed', from: localDate('2026-12-22'), to: localDate('2026-12-30') }]);
  expect(shown(repeat('FREQ=WEEKLY;BYDAY=TH', cold, 'stay'), away, '2026-12-18T12:00Z', 2)).toEqual(['2026-12-31 06:30', '2027-01-07 06:30']);
});

describe('random duties of random cafés, seed 7', () => {
  const random = randomFrom(7);
  const cases = Array.from({ length: 400 }, () => randomCase(random));

  it('finds what walking day by day finds', () => {
    let found = 0;
    for (const one of cases) {
      const after = instantOf(one.from, localTime('00:00'), one.of.zone);
      const until = instantOf(plusDays(one.from, 200), localTime('00:00'), one.of.zone);
      const wanted = reference(one, 500).filter((due) => due <= until);
      const mine = duesBetween(one.duty, one.of, after, until).map((due) => due.at);
      if (JSON.stringify(mine) !== JSON.stringify(wanted))
        expect({ one, dues: mine.map((due) => new Date(due)) }).toEqual({
          one,
          dues: wanted.map((due) => new Date(due)),
        });
      found += mine.length;
    }
    expect(found).toBeGreaterThan(5000);
  });

  it('falls at most once on a business date, and on it or, past midnight, on the next', () => {
    for (const { of, duty, from, text } of cases) {
      const after = instantOf(from, localTime('00:00'), of.zone);
      const dues = duesBetween(duty, of, after, instant(after + 200 * 86_400_000));
      const dates = dues.map(({ date }) => date);
      expect({ text, dates: [...new Set(dates)] }).toEqual({ text, dates });
      for (const due of dues) {
        const late = toDay(localAt(due.at, of.zone).date) - toDay(due.date);
        expect(late === 0 || (late === 1 && of.week.days.flat().some(({ to }) => to >= 1440))).toBe(true);
      }
    }
  });

  it('never falls twice in one calendar day in a café that closes before midnight', () => {
    for (const { of, duty, from, text } of cases) {
      if (of.week.days.flat().some(({ to }) => to >= 1440)) continue;
      const after = instantOf(from, localTime('00:00'), of.zone);
      const dues = duesBetween(duty, of, after, instant(after + 200 * 86_400_000));
      const days = dues.map((due) => localAt(due.at, of.zone).date);
      expect({ text, days: [...new Set(days)] }).toEqual({ text, days });
    }
  });
});
