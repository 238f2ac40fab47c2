import { describe, expect, test } from 'vitest';
import { isAway, nextClosure } from '../../src/cafe/closures.ts';
import type { CafeHours, DaySpans } from '../../src/cafe/hours.ts';
import { NEVER } from '../../src/cafe/hours.ts';
import { dueNext, type Grounds } from '../../src/routine/come-round.ts';
import { readCounter, readNumber } from '../../src/routine/read-counter.ts';
import { rotated } from '../../src/routine/rotation.ts';
import { judge, openDaysBetween, paceOf, usedBetween, useDay, type Reading } from '../../src/routine/use.ts';
import { instantOf, localTime } from '../../src/time/wall-time.ts';
import { localDate, plusDays, toDay, type LocalDate } from '../../src/time/local-date.ts';
import type { Instant } from '../../src/time/instant.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';

const ZONE = 'Europe/Madrid';
const OPEN: DaySpans = [{ from: 480, to: 1350 }];
/** Tuesday to Sunday 8:00 to 22:30. */
const cafe: CafeHours = { zone: ZONE, week: { days: [[], OPEN, OPEN, OPEN, OPEN, OPEN, OPEN], holidays: [] }, exceptions: [], holidays: new Set(), cleaningMinutes: 30, quiet: null, rush: NEVER };
const at = (date: string, time = '12:00'): Instant => instantOf(localDate(date), localTime(time), ZONE);
const said = (date: string, value: number, anew = false): Reading => ({ at: at(date), value, anew });

describe('what was used', () => {
  test('a day on which the café is shut uses nothing', () => {
    // 5 October 2026 is a Monday.
    expect(openDaysBetween(cafe, at('2026-10-04'), at('2026-10-06'))).toBe(1);
    expect(useDay({ every: 400, since: at('2026-10-04'), readings: [], perDay: 200 }, cafe, at('2026-10-04'))).toBe('2026-10-07');
  });

  test('a week away moves the date by a week', () => {
    const away: CafeHours = { ...cafe, exceptions: [{ kind: 'closed', from: localDate('2026-10-06'), to: localDate('2026-10-12') }] };
    const wish = { every: 1000, since: at('2026-10-04'), readings: [], perDay: 200 };
    expect(toDay(useDay(wish, away, at('2026-10-04')) as LocalDate) - toDay(useDay(wish, cafe, at('2026-10-04')) as LocalDate)).toBe(7);
  });

  test('a new reading moves the date: busier than thought is sooner, quieter is later', () => {
    const since = at('2026-09-01');
    const now = at('2026-10-01');
    const with_ = (total: number): LocalDate | null => {
      const readings = [said('2026-09-01', 10_000), said('2026-10-01', 10_000 + total)];
      return useDay({ every: 8000, since, readings, perDay: paceOf(readings, cafe) ?? 0 }, cafe, now);
    };
    const [quiet, busy] = [with_(2600), with_(5200)];
    expect(quiet !== null && busy !== null && busy < quiet).toBe(true);
    // 26 open days in between: 200 a day, so 2800 left are 14 open days.
    expect(busy).toBe('2026-10-17');
  });

  test('between two readings the counter counts, beyond them the usual day does', () => {
    const readings = [said('2026-10-06', 0), said('2026-10-11', 500)];
    expect(usedBetween(readings, 200, cafe, at('2026-10-06'), at('2026-10-11'))).toBeCloseTo(500, 9);
    expect(usedBetween(readings, 200, cafe, at('2026-10-06'), at('2026-10-14'))).toBeCloseTo(900, 9);
    expect(usedBetween(readings, 200, cafe, at('2026-10-03'), at('2026-10-06'))).toBeCloseTo(400, 9);
  });

  test('a counter that began anew is not read as a negative use', () => {
    const readings = [said('2026-10-06', 90_000), said('2026-10-11', 300, true)];
    expect(usedBetween(readings, 200, cafe, at('2026-10-06'), at('2026-10-11'))).toBe(1000);
    expect(paceOf(readings, cafe)).toBeUndefined();
  });

  test('whatever the readings, use adds up over parts and is never negative', () => {
    let seed = 5;
    const random = (): number => (seed = (seed * 48_271) % 2_147_483_647) / 2_147_483_647;
    for (let round = 0; round < 200; round++) {
      let [value, day] = [0, localDate('2026-01-05')];
      const readings = Array.from({ length: 6 }, () => said((day = plusDays(day, 1 + Math.floor(random() * 20))), (value += Math.floor(random() * 4000))));
      const [a, b, c] = [0, 0, 0].map(() => at(plusDays(localDate('2026-01-01'), Math.floor(random() * 150)))).sort((x, y) => x - y) as [Instant, Instant, Instant];
      const use = (from: Instant, to: Instant): number => usedBetween(readings, 150, cafe, from, to);
      expect(use(a, b)).toBeGreaterThanOrEqual(0);
      expect(use(a, b) + use(b, c)).toBeCloseTo(use(a, c), 6);
    }
  });

  test('a reading lower than before, or absurdly high, is asked about', () => {
    const before = [said('2026-10-06', 48_210)];
    expect(judge(47_000, at('2026-10-13'), before, 200, cafe)).toEqual({ kind: 'lower', than: 48_210 });
    expect(judge(482_100, at('2026-10-13'), before, 200, cafe).kind).toBe('much');
    expect(judge(49_400, at('2026-10-13'), before, 200, cafe).kind).toBe('fine');
  });
});

describe('counters as people write them', () => {
  const words = { coffees: ['counter', 'coffees'], litres: ['water', 'water meter'], kg: ['grinder'] };
  test.each([
    ['counter 48210', { counter: 'coffees', value: 48_210 }],
    ['Counter: 48,210', { counter: 'coffees', value: 48_210 }],
    ['grinder 1200 kg', { counter: 'kg', value: 1200 }],
    ['grinder 1.200 kg.', { counter: 'kg', value: 1200 }],
    ['water meter 8 200 l', { counter: 'litres', value: 8200 }],
    ['counter 8200 litres', { counter: 'litres', value: 8200 }],
    ['the counter is at 48,210', { counter: 'coffees', value: 48_210 }],
    ['counter shows 48210', { counter: 'coffees', value: 48_210 }],
    ['il counter segna 48.210', { counter: 'coffees', value: 48_210 }],
    ['the water is at 9 bar', undefined],
    ['grinder 1200 litres', undefined],
    ['grinder is loud', undefined],
    ['group 2', undefined],
    ['done 3', undefined],
    ['water 2 at 22:00', undefined],
  ])('%s', (text, wanted) => {
    expect(readCounter(text, words)).toEqual(wanted);
  });
  test('what is no number is not guessed at', () => {
    expect([readNumber('1,2,3'), readNumber('12.3.4'), readNumber(''), readNumber('1.5')]).toEqual([undefined, undefined, undefined, 1.5]);
  });
});

describe('whichever comes first', () => {
  const cold: Grounds = { moment: { kind: 'cold', minutes: 90, onClosedDay: localTime('10:00') }, onClosed: 'stay', firedAt: null, doneAt: null };
  const now = at('2026-10-01');
  test('a forecast falls before switching on, never at closing', () => {
    expect(dueNext({ ...cold, forecast: at('2026-10-08', '21:00') }, cafe, now)).toBe(at('2026-10-08', '06:30'));
    expect(dueNext({ ...cold, forecast: at('2026-10-05', '21:00') }, cafe, now)).toBe(at('2026-10-05', '10:00'));
  });
  test('one long past is due at the next chance', () => {
    expect(dueNext({ ...cold, forecast: at('2026-03-01') }, cafe, now)).toBe(at('2026-10-02', '06:30'));
  });
  test('the sooner of use and forecast', () => {
    const both: Grounds = { ...cold, forecast: at('2026-10-20'), use: localDate('2026-10-14') };
    expect(dueNext(both, cafe, now)).toBe(at('2026-10-14', '06:30'));
  });
  test('left undone it comes again in a week, not the next day', () => {
    expect(dueNext({ ...cold, use: localDate('2026-09-20'), firedAt: at('2026-09-30', '06:30') }, cafe, now)).toBe(at('2026-10-07', '06:30'));
  });
  test('a seal marked done and never written down is not asked for again the next week', () => {
    expect(dueNext({ ...cold, forecast: at('2026-09-01'), firedAt: at('2026-09-29', '06:30'), doneAt: at('2026-09-29', '07:10') }, cafe, now)).toBe(at('2026-11-28', '06:30'));
  });
  test('once a year counts from the last time, whose own day is no date of the series', () => {
    const rule = parseRule('FREQ=YEARLY');
    if (!rule.ok) throw new Error('a rule');
    const yearly: Grounds = { ...cold, calendar: { rule: rule.rule, start: localDate('2026-10-01'), moment: cold.moment, onClosed: 'stay' }, calendarFrom: at('2026-10-01', '05:00') };
    expect(dueNext(yearly, cafe, at('2026-10-01', '05:00'))).toBe(at('2027-10-01', '06:30'));
  });
  test('nothing known, nothing due', () => {
    expect(dueNext(cold, cafe, now)).toBeNull();
  });
  test('the evening before a cold job the machine is switched off, over a closed day too', () => {
    const off: Grounds = { moment: { kind: 'at-closing' }, onClosed: 'skip', around: 'before-cold', firedAt: null, doneAt: null };
    expect(dueNext({ ...off, nextCold: at('2026-10-08', '06:30') }, cafe, now)).toBe(at('2026-10-07', '22:00'));
    expect(dueNext({ ...off, nextCold: at('2026-10-05', '10:00') }, cafe, now)).toBe(at('2026-10-04', '22:00'));
  });
});

describe('a month away', () => {
  const august: CafeHours = { ...cafe, exceptions: [{ kind: 'closed', from: localDate('2026-08-03'), to: localDate('2026-08-30') }] };
  test('is found with its last and first open day', () => {
    expect(nextClosure(august, toDay(localDate('2026-07-01')))).toEqual({ lastOpen: toDay(localDate('2026-08-02')), reopens: toDay(localDate('2026-09-01')) });
    expect(nextClosure(cafe, toDay(localDate('2026-07-01')))).toBeNull();
  });
  test('a weekly closed day is none, every day of the month is one', () => {
    expect(isAway(cafe, toDay(localDate('2026-08-03')))).toBe(false);
    for (let day = toDay(localDate('2026-08-03')); day <= toDay(localDate('2026-08-31')); day++) expect(isAway(august, day)).toBe(true);
  });
  test('the restart check comes before the first list, the shutting down with the last', () => {
    const check: Grounds = { moment: { kind: 'before-opening', minutes: 90 }, onClosed: 'skip', around: 'after-closure', firedAt: null, doneAt: null };
    expect(dueNext(check, august, at('2026-07-01'))).toBe(at('2026-09-01', '06:30'));
    expect(dueNext({ ...check, around: 'before-closure', moment: { kind: 'at-closing' } }, august, at('2026-07-01'))).toBe(at('2026-08-02', '22:00'));
    expect(dueNext(check, august, at('2026-08-20'))).toBe(at('2026-09-01', '06:30'));
    expect(dueNext(check, august, at('2026-09-01', '06:30'))).toBeNull();
  });
});

describe('long jobs over the week', () => {
  const thursday = { rule: 'FREQ=WEEKLY;BYDAY=TH', minutes: 40 };
  test('do not share a day, and short ones stay', () => {
    expect(rotated(thursday, [], [1, 2, 3, 4, 5, 6, 7])).toBe('FREQ=WEEKLY;BYDAY=TH');
    expect(rotated(thursday, [thursday], [1, 2, 3, 4, 5, 6, 7])).toBe('FREQ=WEEKLY;BYDAY=FR');
    expect(rotated({ ...thursday, minutes: 2 }, [thursday], [1, 2, 3, 4, 5, 6, 7])).toBe('FREQ=WEEKLY;BYDAY=TH');
    expect(rotated(thursday, [thursday], [2, 4])).toBe('FREQ=WEEKLY;BYDAY=TU');
  });
});
