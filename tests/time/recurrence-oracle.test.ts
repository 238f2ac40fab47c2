import { RRuleTemporal } from 'rrule-temporal';
import { describe, expect, it } from 'vitest';
import { type LocalDate, dayNumberOf, fromDay, localDate, toDay, weekdayOf } from '../../src/time/local-date.ts';
import { datesBetween, nextDate } from '../../src/time/recurrence.ts';
import { type Rule, formatRule } from '../../src/time/recurrence-rule.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import { instantOf, timeOf, zoneDataVersion } from '../../src/time/wall-time.ts';
import { hasOneMidnight, isShown, oracleBetween } from './oracle.ts';
import {
  type Random,
  between,
  pick,
  randomFrom,
  randomRule,
  randomWeekRule,
  randomWeeklyPick,
} from './random-rules.ts';

const SEED = 20261125;
const CASES = 3000;

const ZONES = [
  'Europe/Madrid', 'Europe/London', 'Atlantic/Azores', 'America/New_York', 'America/St_Johns',
  'America/Havana', 'America/Santiago', 'America/Sao_Paulo', 'America/Godthab', 'Africa/Cairo',
  'Africa/Casablanca', 'Asia/Beirut', 'Asia/Tehran', 'Asia/Kathmandu', 'Australia/Sydney',
  'Australia/Lord_Howe', 'Pacific/Auckland', 'Pacific/Chatham', 'Pacific/Apia', 'Antarctica/Troll',
] as const;

// Both libraries carry their own edition of the zone data; to here they agree.
const FIRST_YEAR = 1995;
const LAST_YEAR = 2024;

type Case = {
  readonly text: string;
  readonly zone: string;
  readonly time: string;
  readonly start: LocalDate;
  readonly from: LocalDate;
  readonly to: LocalDate;
};

const offsetHours = (day: number, zone: string): number =>
  instantOf(fromDay(day), timeOf(720), zone) / 3_600_000 - day * 24;

/** A day on which the clocks of the zone change, or any day if they never do. */
const changeDay = (random: Random, zone: string): number => {
  const first = toDay(localDate(`${between(random, FIRST_YEAR, LAST_YEAR - 2)}-01-01`));
  for (let day = first; day < first + 730; day += 1)
    if (offsetHours(day, zone) !== offsetHours(day - 1, zone) && random() < 0.6) return day;
  return first + between(random, 0, 700);
};

const ending = (random: Random, start: LocalDate): string => {
  const kind = random();
  if (kind < 0.2) return `;COUNT=${between(random, 1, 400)}`;
  if (kind > 0.4) return '';
  const end = toDay(start) + between(random, 0, 1500);
  const clock = `${timeOf(between(random, 0, 1439)).replace(':', '')}00`;
  return `;UNTIL=${fromDay(end).replaceAll('-', '')}T${clock}Z`;
};

/** The library compared with cuts the first week off at the start before it picks: see below. */
const picksInWeeks = (rule: string): boolean =>
  rule.startsWith('FREQ=WEEKLY') && rule.includes('BYSETPOS');

const randomCase = (random: Random): Case => {
  const zone = pick(random, ZONES);
  const middle = changeDay(random, zone);
  const fromDayNumber = middle - between(random, 0, 60);
  const rule = randomRule(random);
  const anyStart = fromDayNumber - (random() < 0.3 ? 0 : between(random, 0, 1200));
  const start = fromDay(picksInWeeks(rule) ? anyStart - weekdayOf(anyStart) + 1 : anyStart);
  // Half of the times stand where clocks change.
  const minute = random() < 0.5 ? between(random, 0, 15) * 15 : between(random, 0, 1439);
  return {
    text: `${rule}${ending(random, start)}`,
    zone,
    time: timeOf(minute),
    start,
    from: fromDay(fromDayNumber),
    to: fromDay(fromDayNumber + 730),
  };
};

const ruleOf = ({ text, time, zone }: Case): Rule => {
  const parsed = parseRule(text, { time: timeOf(minutesIn(time)), zone });
  if (!parsed.ok) throw new Error(`${text}: ${parsed.problem} at ${parsed.part}`);
  return parsed.rule;
};

const minutesIn = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));

const walked = (rule: Rule, { start, from, to }: Case): readonly LocalDate[] => {
  const found: LocalDate[] = [];
  let at = nextDate(rule, start, fromDay(toDay(from) - 1));
  while (at !== null && at <= to) {
    found.push(at);
    at = nextDate(rule, start, at);
  }
  return found;
};

const anyCase: Case = {
  text: 'FREQ=DAILY',
  zone: 'UTC',
  time: '12:00',
  start: localDate('2000-01-01'),
  from: localDate('2000-01-01'),
  to: localDate('2999-01-01'),
};

/** As toEqual, many times faster where there is nothing to report. */
const expectSame = (of: unknown, mine: readonly unknown[], theirs: readonly unknown[]): void => {
  if (JSON.stringify(mine) !== JSON.stringify(theirs)) expect({ of, mine }).toEqual({ of, theirs });
};

/** The rule's dates, compared where no clock ever changes. */
const oracleDates = (rule: Rule, { start, from, to }: Case): readonly string[] => {
  const text = formatRule(rule).replace(/UNTIL=(\d{8})/, 'UNTIL=$1T235959Z');
  return oracleBetween(text, start, '12:00', 'UTC', from, to).map(({ date }) => date);
};

const cases = (() => {
  const random = randomFrom(SEED);
  return Array.from({ length: CASES }, () => randomCase(random));
})();

describe(`${CASES} random rules, seed ${SEED}, zone data ${zoneDataVersion()}`, () => {
  it('falls on the same dates as an independent implementation, however it is asked', () => {
    let dates = 0;
    for (const one of cases) {
      const rule = ruleOf(one);
      const mine = datesBetween(rule, one.start, one.from, one.to);
      expectSame(one, mine, oracleDates(rule, one));
      expectSame(one, walked(rule, one), mine);
      dates += mine.length;
    }
    expect(dates).toBeGreaterThan(100_000);
  });

  it('falls at the same moments, except where the clock skips the time', () => {
    let moments = 0;
    let besides = 0;
    for (const one of cases) {
      const rule = ruleOf(one);
      const time = timeOf(minutesIn(one.time));
      const dates = datesBetween(rule, one.start, one.from, one.to);
      const mine = dates.map((date) => ({ date, time, at: instantOf(date, time, one.zone) }));
      const theirs = oracleBetween(one.text, one.start, one.time, one.zone, one.from, one.to);
      moments += mine.length;
      if (JSON.stringify(mine) === JSON.stringify(theirs)) continue;
      const comparable = ({ date }: { readonly date: string }): boolean =>
        isShown(date, time, one.zone) && hasOneMidnight(date, one.zone);
      const before = datesBetween(rule, one.start, one.start, one.to).map((date) => ({ date }));
      // It keeps to the moved time of a start that is skipped, and does not count what it drops.
      if (!comparable({ date: one.start })) continue;
      if (rule.count !== null && !before.every(comparable)) continue;
      besides += mine.filter((found) => !comparable(found)).length;
      const unmoved = theirs.filter((found) => found.time === time && comparable(found));
      expectSame(one, mine.filter(comparable), unmoved);
    }
    expect(moments).toBeGreaterThan(100_000);
    expect(besides).toBeGreaterThan(50);
    expect(besides).toBeLessThan(moments / 100);
  });

  // RFC 5545 section 3.3.10: "in a WEEKLY rule, the interval would be one week"; the first library
  // picks from what the start leaves of the first week. What it reads otherwise in week numbers is
  // named in random-rules.ts.
  it.each([
    ['positions in weeks that the start cuts', (random: Random) => randomWeeklyPick(random)],
    ['week numbers around New Year and over several years', (random: Random) => randomWeekRule(random)],
  ])('reads %s as a second library does', (_, make) => {
    const random = randomFrom(SEED);
    let compared = 0;
    while (compared < 100) {
      const rule = `${make(random)};COUNT=12`;
      // Not around New Year, where the two begin to count years from different ones.
      const start = fromDay(dayNumberOf(between(random, 1990, 2030), 2, between(random, 1, 280)));
      const mine = datesBetween(ruleOf({ ...anyCase, text: rule }), start, start, anyCase.to);
      // It gives up on rules that end sooner.
      if (mine.length < 12) continue;
      compared += 1;
      const text = `DTSTART;TZID=UTC:${start.replaceAll('-', '')}T120000\nRRULE:${rule}`;
      const theirs = new RRuleTemporal({ rruleString: text }).all().map((at) => at.toString());
      expectSame({ rule, start }, mine, theirs.map((at) => at.slice(0, 10)));
    }
  });

  it('writes every rule so that it reads back the same', () => {
    for (const one of cases) {
      const rule = ruleOf(one);
      expect(parseRule(formatRule(rule))).toEqual({ ok: true, rule });
    }
  });
});
