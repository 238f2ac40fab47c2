import { writeFileSync } from 'node:fs';
import { IANAZone } from 'luxon';
import { afterAll, describe, expect, it } from 'vitest';
import { type CafeHours, NEVER, isOpenDay } from '../../src/cafe/hours.ts';
import { duesBetween } from '../../src/cafe/hours-due.ts';
import type { Moment } from '../../src/cafe/hours-moments.ts';
import { parseHours } from '../../src/cafe/hours-text.ts';
import { fromDay, localDate, toDay, weekdayOf } from '../../src/time/local-date.ts';
import { datesBetween } from '../../src/time/recurrence.ts';
import type { Rule } from '../../src/time/recurrence-rule.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import {
  hasDay,
  instantOf,
  instantOfDay,
  localAt,
  localTime,
  timeOf,
  zoneDataVersion,
} from '../../src/time/wall-time.ts';
import { hasOneMidnight, isShown, momentsShown, oracleBetween } from '../time/oracle.ts';
import { between, randomFrom, randomRule } from '../time/random-rules.ts';

const FROM = localDate('1990-01-01');
const TO = localDate('2040-12-31');
const SEED = 19902040;
const HOUR = 3_600_000;
const REPORT = new URL('../../docs/results/recurrence-grid.md', import.meta.url);

const ZONES = [
  'Europe/Madrid', 'Europe/London', 'Europe/Dublin', 'Atlantic/Azores', 'America/New_York',
  'America/St_Johns', 'America/Havana', 'America/Santiago', 'America/Sao_Paulo', 'America/Godthab',
  'Africa/Cairo', 'Africa/Casablanca', 'Asia/Beirut', 'Asia/Tehran', 'Asia/Kathmandu',
  'Australia/Sydney', 'Australia/Lord_Howe', 'Pacific/Auckland', 'Pacific/Chatham', 'Pacific/Apia',
  'Antarctica/Troll', 'UTC',
] as const;

const TIMES = ['00:00', '00:30', '01:30', '02:30', '07:00', '23:30'] as const;

const RULES = [
  'FREQ=DAILY', 'FREQ=DAILY;INTERVAL=3', 'FREQ=DAILY;BYMONTH=3,10;BYDAY=SA,SU',
  'FREQ=WEEKLY;BYDAY=SU', 'FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TH', 'FREQ=WEEKLY;BYDAY=TU,WE,TH,FR,SA,SU',
  'FREQ=MONTHLY', 'FREQ=MONTHLY;BYDAY=-1FR', 'FREQ=MONTHLY;BYDAY=-1SU', 'FREQ=MONTHLY;BYDAY=2SU',
  'FREQ=MONTHLY;BYMONTHDAY=31', 'FREQ=MONTHLY;BYMONTHDAY=-1', 'FREQ=MONTHLY;INTERVAL=3',
  'FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1', 'FREQ=YEARLY', 'FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29',
  'FREQ=YEARLY;BYWEEKNO=13;BYDAY=SU', 'FREQ=YEARLY;BYYEARDAY=-1,100', 'FREQ=YEARLY;BYDAY=20MO',
] as const;

const DOORS = ['tue-sun 8-22:30, closed mon', 'every day 7 to 19', 'wed, thu 18-24, fri, sat 18-26',
  'every day 8-12, 14-23:30'] as const;

const MOMENTS: readonly Moment[] = [
  { kind: 'before-opening', minutes: 60 },
  { kind: 'at-closing' },
  { kind: 'quiet' },
  { kind: 'clock', time: localTime('00:15') },
  { kind: 'clock', time: localTime('23:30') },
];

const lines: string[] = [];
const started = Date.now();

const note = (what: string, seconds: number, figures: string): void => {
  lines.push(`| ${what} | ${figures} | ${seconds.toFixed(0)} |`);
};

const timed = (what: string, run: () => string): void => {
  const begin = performance.now();
  const figures = run();
  note(what, (performance.now() - begin) / 1000, figures);
};

const ruleOf = (text: string): Rule => {
  const parsed = parseRule(text);
  if (!parsed.ok) throw new Error(`${text}: ${parsed.problem} at ${parsed.part}`);
  return parsed.rule;
};

const expectSame = (of: unknown, mine: readonly unknown[], theirs: readonly unknown[]): void => {
  if (JSON.stringify(mine) !== JSON.stringify(theirs)) expect({ of, mine }).toEqual({ of, theirs });
};

/** Moments, at most a day late, at which the clocks of a zone have changed. */
const changesOf = (zone: IANAZone): readonly number[] => {
  const changes: number[] = [];
  let before = zone.offset(Date.parse(FROM));
  for (let at = Date.parse(FROM); at < Date.parse(TO); at += 24 * HOUR) {
    const offset = zone.offset(at);
    if (offset !== before) changes.push(at);
    before = offset;
  }
  return changes;
};

/** What the wall clock's rule asks for, from luxon's offsets alone. */
const expectedMoment = (asUtc: number, shown: readonly number[], zone: IANAZone): number =>
  shown[0] ?? asUtc - zone.offset(asUtc - 30 * HOUR) * 60_000;

const PARTS = 4;

afterAll(() => {
  // A run of some parts only, or a failed one, leaves the last full result in place.
  if (lines.length < PARTS) return;
  const done = new Date(started).toISOString().slice(0, 10);
  const text = [
    '# Recurrence and wall time over 1990 to 2040',
    '',
    `Run on ${done} with Node ${process.version}, zone data ${zoneDataVersion()}, seed ${SEED}:`,
    '`npx vitest run --config tools/vitest.grid.config.ts`. Any difference fails the run and nothing',
    'is written, so there was none beyond what a line says.',
    '',
    '| what was compared | figures | seconds |',
    '|---|---|---|',
    ...lines,
    '',
    `In all ${((Date.now() - started) / 1000).toFixed(0)} seconds of one core that was shared with other work.`,
    '',
  ];
  writeFileSync(REPORT, text.join('\n'));
});

describe('1990 to 2040', () => {
  it('turns wall time into moments in every zone, around every clock change', () => {
    timed('every quarter hour of the two days around each clock change, all zones, against luxon’s offsets', () => {
      let times = 0;
      let skipped = 0;
      let twice = 0;
      let changes = 0;
      const zones = Intl.supportedValuesOf('timeZone');
      for (const name of zones) {
        const zone = IANAZone.create(name);
        for (const at of changesOf(zone)) {
          changes += 1;
          const middle = Math.floor(at / (24 * HOUR));
          for (let quarter = -96; quarter < 96; quarter += 1) {
            const asUtc = (middle * 96 + quarter) * 15 * 60_000;
            const day = middle + Math.floor(quarter / 96);
            const minute = (quarter + 96) % 96 * 15;
            const shown = momentsShown(fromDay(day), timeOf(minute), name);
            const expected = expectedMoment(asUtc, shown, zone);
            const mine = instantOfDay(day, minute, name);
            if (mine !== expected) expect({ name, day, minute, mine }).toEqual({ name, day, minute, mine: expected });
            times += 1;
            skipped += shown.length === 0 ? 1 : 0;
            twice += shown.length === 2 ? 1 : 0;
          }
        }
      }
      expect(changes).toBeGreaterThan(5000);
      return `${zones.length} zones, ${changes} changes, ${times} times, ${skipped} of them skipped, ${twice} twice`;
    });
  });

  it('falls at the same moments as an independent library', () => {
    timed('rules in zones against rrule-rust', () => {
      let moments = 0;
      let besides = 0;
      for (const zone of ZONES)
        for (const time of TIMES)
          for (const text of RULES) {
            const dates = datesBetween(ruleOf(text), FROM, FROM, TO);
            const mine = dates.map((date) => ({ date, time, at: instantOf(date, localTime(time), zone) }));
            const theirs = oracleBetween(text, FROM, time, zone, FROM, TO);
            moments += mine.length;
            if (JSON.stringify(mine) === JSON.stringify(theirs)) continue;
            const comparable = ({ date }: { readonly date: string }): boolean =>
              isShown(date, time, zone) && hasOneMidnight(date, zone);
            besides += mine.filter((one) => !comparable(one)).length;
            const unmoved = theirs.filter((one) => one.time === time && comparable(one));
            expectSame({ zone, time, text }, mine.filter(comparable), unmoved);
          }
      expect(moments).toBeGreaterThan(1_000_000);
      return `${ZONES.length} zones, ${TIMES.length} times of day, ${RULES.length} rules, ${moments} moments; ${besides} not compared (time skipped, or midnight skipped or twice)`;
    });
  });

  it('falls on the same dates as an independent library', () => {
    timed('random rules against rrule-rust, dates', () => {
      const random = randomFrom(SEED);
      let dates = 0;
      let rules = 0;
      while (rules < 2000) {
        const text = randomRule(random);
        const anyDay = toDay(FROM) + between(random, 0, 2000);
        const start = fromDay(anyDay - weekdayOf(anyDay) + 1);
        if (text.includes('BYSETPOS') && text.includes('WKST')) continue;
        rules += 1;
        const mine = datesBetween(ruleOf(text), start, FROM, TO);
        const theirs = oracleBetween(text, start, '12:00', 'UTC', FROM, TO).map(({ date }) => date);
        expectSame({ text, start }, mine, theirs);
        dates += mine.length;
      }
      return `${rules} rules, ${dates} dates`;
    });
  });

  it('is due once on every open day, and on no other', () => {
    timed('daily duties at cafés’ hours', () => {
      let dues = 0;
      for (const zone of ZONES)
        for (const door of DOORS) {
          const parsed = parseHours(door);
          if (!parsed.ok) throw new Error(door);
          const of: CafeHours = { zone, week: parsed.week, exceptions: [], holidays: new Set(),
            cleaningMinutes: 30, quiet: null, rush: NEVER };
          const open: string[] = [];
          for (let day = toDay(FROM); day <= toDay(TO); day += 1)
            if (hasDay(day, zone) && isOpenDay(of, day)) open.push(fromDay(day));
          for (const moment of MOMENTS) {
            const duty = { rule: ruleOf('FREQ=DAILY'), start: FROM, moment, onClosed: 'skip' } as const;
            const all = duesBetween(duty, of, instantOf(FROM, localTime('00:00'), zone),
              instantOf(TO, localTime('23:59'), zone), 20_000);
            const edges = (date: string): boolean => FROM < date && date < TO;
            expectSame({ zone, door, moment }, all.map(({ date }) => date).filter(edges), open.filter(edges));
            const late = all.filter(({ at, date }) => localAt(at, zone).date !== date);
            if (door.includes('26') === false) expect({ zone, door, moment, late }).toEqual({ zone, door, moment, late: [] });
            dues += all.length;
          }
        }
      return `${ZONES.length} zones, ${DOORS.length} doors, ${MOMENTS.length} moments, ${dues} due times`;
    });
  });
});
