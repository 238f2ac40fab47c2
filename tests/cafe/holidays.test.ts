import { describe, expect, test } from 'vitest';
import { calendarOf, writeWeek } from '../../src/cafe/calendar.ts';
import { holidaysIn } from '../../src/cafe/holidays.ts';
import { isOpenOn } from '../../src/cafe/hours.ts';
import { localDate } from '../../src/time/local-date.ts';
import { embedded } from '../store/databases.ts';
import { transact } from '../../src/store/transact.ts';
import { count, seen } from '../stories/stage.ts';
import { terminalStage } from '../stories/terminal-stage.ts';

describe('public holidays', () => {
  // Easter Sunday by the Gregorian computus (Meeus, Astronomical Algorithms, chapter 8), computed here anew.
  const easter = (year: number): string => {
    const [a, b, c] = [year % 19, Math.floor(year / 100), year % 100];
    const [d, e, g] = [Math.floor(b / 4), b % 4, Math.floor((8 * b + 13) / 25)];
    const h = (19 * a + b - d - g + 15) % 30;
    const m = Math.floor((a + 11 * h) / 319);
    const r = (2 * e + 2 * Math.floor(c / 4) - (c % 4) - h + m + 32) % 7;
    const month = Math.floor((h - m + r + 90) / 25);
    const day = (h - m + r + month + 19) % 32;
    return new Date(Date.UTC(year, month - 1, day)).toISOString().slice(0, 10);
  };
  const shifted = (date: string, days: number): string => new Date(Date.parse(date) + days * 86_400_000).toISOString().slice(0, 10);

  test('Good Friday in Spain and Easter Monday in Italy lie where the computus puts them, thirty years on', () => {
    for (let year = 2020; year <= 2050; year++) {
      expect(holidaysIn('ES', year, 'en').map(({ date }) => String(date))).toContain(shifted(easter(year), -2));
      expect(holidaysIn('IT', year, 'en').map(({ date }) => String(date))).toContain(shifted(easter(year), 1));
    }
  });

  test('a country nobody knows has none', () => {
    expect(holidaysIn('XX', 2026, 'en')).toEqual([]);
  });

  test('a week that is silent about holidays does not shut the café on them', () => {
    const span = [{ from: 480, to: 1200 }];
    const row = { zone: 'Europe/Madrid', hours: writeWeek({ days: [span, span, span, span, span, span, span], holidays: [] }), exceptions: '[]', cleaning_before: 30, quiet: null, rush: null, country: 'ES' };
    const christmas = localDate('2026-12-25');
    const open = (holiday_rule: string | null): boolean => isOpenOn(calendarOf({ ...row, holiday_rule }) ?? expect.fail(), christmas);
    expect([open(null), open('open'), open('week')]).toEqual([true, true, false]);
  });
});

test('ten days before a holiday the owner is asked once; closed is one press, and no list comes that day', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: '2026-12-10T10:00:00Z' });
  await stage.until('in 7 days 20:00');
  const asked = await seen(stage, 'Christmas Day');
  expect(asked.lines[0]).toBe('Fri 25 Dec, Christmas Day: open or closed?');
  expect(asked.buttons).toEqual(['Closed', 'Open as usual', 'Other hours', 'Our region']);
  await stage.person('ola').presses('Closed', 'Christmas Day');
  expect((await seen(stage, 'Fri 25 Dec')).lines[0]).toBe('Fri 25 Dec: closed. No lists that day.');
  await stage.person('ola').presses('Every holiday so', 'Fri 25 Dec');
  expect((await seen(stage, 'Fri 25 Dec')).lines[1]).toBe('Every public holiday so. I no longer ask.');
  await stage.until('in 16 days 12:00');
  const dates = (await transact(store, [], (tx) => tx.selectFrom('reminder').select('date').where('moment', '=', 'at-closing').execute())).map(({ date }) => date);
  expect(dates).not.toContain('2026-12-25');
  // New Year's Day follows the rule that was made of Christmas Day.
  expect(dates).not.toContain('2027-01-01');
  expect(dates).toContain('2026-12-24');
  expect(dates).toContain('2026-12-31');
  expect(await count(stage, 'Christmas Day')).toBe(0);
  await stage.close();
});
