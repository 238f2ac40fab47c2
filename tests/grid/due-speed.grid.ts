import { expect, it } from 'vitest';
import { type CafeHours, NEVER } from '../../src/cafe/hours.ts';
import { type OnClosed, type Repeat, dueAfter } from '../../src/cafe/hours-due.ts';
import type { Moment } from '../../src/cafe/hours-moments.ts';
import { parseHours } from '../../src/cafe/hours-text.ts';
import { instant } from '../../src/time/instant.ts';
import { localDate, plusDays } from '../../src/time/local-date.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import { localTime } from '../../src/time/wall-time.ts';

const CALLS = 20_000;
const ZONES = ['Europe/Madrid', 'Europe/London', 'America/New_York', 'Australia/Sydney', 'Asia/Kathmandu',
  'America/Sao_Paulo'];
const RULES = ['FREQ=DAILY', 'FREQ=DAILY', 'FREQ=DAILY', 'FREQ=WEEKLY;BYDAY=MO', 'FREQ=WEEKLY;BYDAY=TH',
  'FREQ=MONTHLY;BYDAY=-1FR', 'FREQ=MONTHLY;INTERVAL=3', 'FREQ=YEARLY'];
const MOMENTS: readonly Moment[] = [
  { kind: 'at-closing' },
  { kind: 'before-opening', minutes: 30 },
  { kind: 'quiet' },
  { kind: 'clock', time: localTime('09:30') },
];
const POLICIES: readonly OnClosed[] = ['open-day-before', 'open-day-after', 'skip'];

const at = <T>(list: readonly T[], i: number): T => {
  const item = list[i % list.length];
  if (item === undefined) throw new RangeError('empty list');
  return item;
};

const cafes: readonly CafeHours[] = Array.from({ length: 200 }, (_, i) => {
  const parsed = parseHours('tue-sun 8-22:30, closed mon');
  if (!parsed.ok) throw new Error(parsed.problem);
  return {
    zone: at(ZONES, i),
    week: parsed.week,
    holidays: new Set([localDate('2026-12-25')]),
    exceptions: i % 2 === 0 ? [{ kind: 'closed', from: localDate('2026-12-20'), to: localDate('2027-01-04') }] : [],
    cleaningMinutes: 30,
    quiet: null,
    rush: NEVER,
  };
});

const repeats: readonly Repeat[] = Array.from({ length: CALLS }, (_, i) => {
  const parsed = parseRule(at(RULES, i));
  if (!parsed.ok) throw new Error(parsed.problem);
  return {
    rule: parsed.rule,
    start: plusDays(localDate('2024-01-31'), i % 300),
    moment: at(MOMENTS, i >> 3),
    onClosed: at(POLICIES, i >> 5),
  };
});

// Prints how long 20,000 duties of 200 cafés take; the time itself decides nothing.
it('finds the next due time of 20,000 duties', () => {
  for (const round of ['cold', 'warm', 'warm']) {
    const begin = performance.now();
    const found = repeats.filter((repeat, i) =>
      dueAfter(repeat, at(cafes, i), instant(Date.parse('2026-11-25T09:00Z') + i * 60_000)) !== null);
    const ms = performance.now() - begin;
    console.log(`${round}: ${CALLS} in ${ms.toFixed(0)} ms, ${((CALLS / ms) * 1000).toFixed(0)} a second`);
    // Those left out are due on Mondays, when these cafés are closed, and are to be skipped then.
    expect(found.length).toBeGreaterThan(CALLS * 0.95);
  }
});
