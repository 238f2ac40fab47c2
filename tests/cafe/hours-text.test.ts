import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DaySpans, Week, WeekSpans } from '../../src/cafe/hours.ts';
import { hourGroups, hoursText } from '../../src/cafe/hours-format.ts';
import { parseHours, parseSpans } from '../../src/cafe/hours-text.ts';
import {
  ENGLISH_DOOR,
  GERMAN_DOOR,
  ITALIAN_DOOR,
  SPANISH_DOOR,
} from '../../src/cafe/hours-words.ts';

const LANGUAGES = [ENGLISH_DOOR, SPANISH_DOOR, ITALIAN_DOOR, GERMAN_DOOR];

/** A week as 'mo 8-22.5', hours as decimals, so that a test reads like the door. */
const shown = (week: Week): string =>
  week.days
    .map((spans) => spans.map(({ from, to }) => `${from / 60}-${to / 60}`).join('+') || 'x')
    .join(' ');

const read = (text: string, languages = [ENGLISH_DOOR]): string => {
  const parsed = parseHours(text, languages);
  return parsed.ok ? shown(parsed.week) : `${parsed.problem}: ${parsed.at}`;
};

describe('hours as they stand on a door', () => {
  it.each([
    ['tue-sun 8-22:30, closed mon', 'x 8-22.5 8-22.5 8-22.5 8-22.5 8-22.5 8-22.5'],
    ['mon-fri 7:30-18, sat 9-17', '7.5-18 7.5-18 7.5-18 7.5-18 7.5-18 9-17 x'],
    ['every day 7 to 19', '7-19 7-19 7-19 7-19 7-19 7-19 7-19'],
    ['Mon–Fri 07:00–18:00; Sat, Sun 8am-5pm', '7-18 7-18 7-18 7-18 7-18 8-17 8-17'],
    ['7-19', '7-19 7-19 7-19 7-19 7-19 7-19 7-19'],
    ['7-19, closed mondays and tuesdays', 'x x 7-19 7-19 7-19 7-19 7-19'],
    ['8-22 tue-sun, mon closed', 'x 8-22 8-22 8-22 8-22 8-22 8-22'],
    ['closed mon, tue-sun 8-22', 'x 8-22 8-22 8-22 8-22 8-22 8-22'],
    ['closed: mon, tue\nwed-sun: 8.30-17.00', 'x x 8.5-17 8.5-17 8.5-17 8.5-17 8.5-17'],
    ['mon closed tue-sun 0830-2230', 'x 8.5-22.5 8.5-22.5 8.5-22.5 8.5-22.5 8.5-22.5 8.5-22.5'],
    ['fri-mon 10-16', '10-16 x x x 10-16 10-16 10-16'],
    ['weekdays 7-17, weekends 9-15', '7-17 7-17 7-17 7-17 7-17 9-15 9-15'],
    ['daily 8-12, 14-18', '8-12+14-18 8-12+14-18 8-12+14-18 8-12+14-18 8-12+14-18 8-12+14-18 8-12+14-18'],
    ['Mon 8-12 and 14-18, Tue 8-12 & 15-18', '8-12+14-18 8-12+15-18 x x x x x'],
    ['mon-fri 8-12, mon-thu 14-18', '8-12+14-18 8-12+14-18 8-12+14-18 8-12+14-18 8-12 x x'],
    ['mon-sun 8-18, fri 8-22', '8-18 8-18 8-18 8-18 8-22 8-18 8-18'],
    ['every day 8-18, sun closed', '8-18 8-18 8-18 8-18 8-18 8-18 x'],
    ['mon 8-12, 12-18', '8-18 x x x x x x'],
    ['Monday through Friday from 7 a.m. until 6 p.m.', '7-18 7-18 7-18 7-18 7-18 x x'],
    ['M-F 7am-5', '7-17 7-17 7-17 7-17 7-17 x x'],
    ['sat 1-5pm, sun 11-3pm', 'x x x x x 13-17 11-15'],
    ['fri, sat 6pm-2', 'x x x x 18-26 18-26 x'],
    ['fri 18:00-02:00', 'x x x x 18-26 x x'],
    ['fri 18-2', 'x x x x 18-26 x x'],
    ['thu noon to midnight', 'x x x 12-24 x x x'],
    ['thu 11am-midnight', 'x x x 11-24 x x x'],
    ['thu midnight-6', 'x x x 0-6 x x x'],
    ['every day 0-24', '0-24 0-24 0-24 0-24 0-24 0-24 0-24'],
    ['sat 10:00-02:00', 'x x x x x 10-26 x'],
    ['TUE 8 – 9, WED 8h-9h30', 'x 8-9 8-9.5 x x x x'],
  ])('reads "%s"', (text, week) => {
    expect(read(text)).toBe(week);
  });

  it.each([
    ['Mo-Fr 7:30 bis 18 Uhr, Sa 9-17 Uhr, So Ruhetag', '7.5-18 7.5-18 7.5-18 7.5-18 7.5-18 9-17 x'],
    ['täglich 8-20', '8-20 8-20 8-20 8-20 8-20 8-20 8-20'],
    ['Dienstag und Donnerstag von 8 bis 12', 'x 8-12 x 8-12 x x x'],
  ])('reads "%s" in German', (text, week) => {
    expect(read(text, [GERMAN_DOOR, ENGLISH_DOOR])).toBe(week);
  });

  it.each([
    ['de martes a domingo de 8 a 22:30, lunes cerrado', 'x 8-22.5 8-22.5 8-22.5 8-22.5 8-22.5 8-22.5'],
    ['L-V 8:00-20:00, sábados y domingos 9-14', '8-20 8-20 8-20 8-20 8-20 9-14 9-14'],
    ['todos los días 7h-19h', '7-19 7-19 7-19 7-19 7-19 7-19 7-19'],
  ])('reads "%s" in Spanish', (text, week) => {
    expect(read(text, [SPANISH_DOOR, ENGLISH_DOOR])).toBe(week);
  });

  it.each([
    ['lun-ven 7-13 e 15-19, sab 8-13, domenica chiuso', '7-13+15-19 7-13+15-19 7-13+15-19 7-13+15-19 7-13+15-19 8-13 x'],
    ['dal martedì al sabato dalle 7 alle 20', 'x 7-20 7-20 7-20 7-20 7-20 x'],
  ])('reads "%s" in Italian', (text, week) => {
    expect(read(text, [ITALIAN_DOOR, ENGLISH_DOOR])).toBe(week);
  });

  it('keeps holidays apart from the weekday they fall on', () => {
    const parsed = parseHours('mon-sat 8-18, sun and holidays 9-13');
    expect(parsed.ok && parsed.week.holidays).toEqual([{ from: 540, to: 780 }]);
    const silent = parseHours('every day 8-18');
    expect(silent.ok && silent.week.holidays).toEqual([]);
  });
});

describe('hours that cannot be read', () => {
  it.each([
    ['', 'empty: '],
    ['   \n', 'empty: '],
    ['tue-sun 8-22:30, closed moonday', 'word-unknown: moonday'],
    ['when I feel like it', 'word-unknown: when'],
    ['mon 8-25:70', 'time-unknown: 25:70'],
    ['mon 8-17pm', 'time-unknown: 17pm'],
    ['mon 8-99', 'time-unknown: 99'],
    ['mon 25-26', 'time-unknown: 25'],
    ['mon 8', 'closing-missing: 8'],
    ['mon 8-12, 14', 'closing-missing: 14'],
    ['mon-fri 8-5', 'closing-unclear: 8-5'],
    ['mon 7-7', 'closing-unclear: 7-7'],
    ['mon 15-14', 'longer-than-a-day: 15-14'],
    ['mon, tue', 'days-without-hours: mon'],
    ['closed mon 8-12', 'order-unclear: 8'],
    ['- mon 8-12', 'order-unclear: -'],
    ['mon 8-12, mon 10-14', 'hours-overlap: mon'],
    ['mon 20-8, tue 7-12', 'hours-overlap: mon'],
    ['closed', 'never-open: '],
    ['mon-sun closed', 'never-open: '],
  ])('says what is wrong with "%s"', (text, problem) => {
    expect(read(text)).toBe(problem);
  });

  it('answers any text at all without throwing', () => {
    const pieces = ['mon', 'tue', 'sun', 'closed', '8', '18', '22:30', '2', '-', ',', ';', 'to', 'am',
      'pm', 'noon', 'and', 'every day', 'holidays', 'x', '\n', '½', '٣', '8h', '26:00'];
    const texts = fc.oneof(
      fc.array(fc.constantFrom(...pieces), { maxLength: 14 }).map((list) => list.join(' ')),
      fc.string({ maxLength: 60 }),
    );
    fc.assert(
      fc.property(texts, (text) => {
        const parsed = parseHours(text, LANGUAGES);
        if (!parsed.ok) return;
        for (const spans of [...parsed.week.days, parsed.week.holidays])
          spans.forEach(({ from, to }, i) => {
            expect(from >= 0 && from < 1440 && to > from && to <= 2160).toBe(true);
            expect(from).toBeGreaterThan(spans[i - 1]?.to ?? -1);
          });
      }),
      { seed: 20260329, numRuns: 2000 },
    );
  });
});

const daySpans: fc.Arbitrary<DaySpans> = fc
  .uniqueArray(fc.integer({ min: 0, max: 103 }), { minLength: 0, maxLength: 6 })
  .map((cuts) => {
    const sorted = cuts.toSorted((a, b) => a - b).map((n) => n * 15);
    const pairs = sorted.flatMap((from, i) =>
      i % 2 === 0 && i + 1 < sorted.length ? [{ from, to: sorted[i + 1] ?? 0 }] : [],
    );
    return pairs.filter(({ from, to }) => from < 1440 && to - from <= 1440);
  });

const runsOn = (days: readonly DaySpans[]): boolean =>
  days.some((spans, i) => (spans.at(-1)?.to ?? 0) - 1440 > (days[(i + 1) % 7]?.[0]?.from ?? 1440));

describe('hours written back', () => {
  it('reads its own text as the same week', () => {
    let tried = 0;
    fc.assert(
      fc.property(fc.array(daySpans, { minLength: 7, maxLength: 7 }), daySpans, (days, holidays) => {
        fc.pre(!runsOn(days) && days.some((spans) => spans.length > 0));
        tried += 1;
        const week: Week = { days: days as unknown as WeekSpans, holidays };
        expect(parseHours(hoursText(week))).toEqual({ ok: true, week });
      }),
      { seed: 20261025, numRuns: 1000 },
    );
    expect(tried).toBe(1000);
  });

  it('groups days for the view, open days first', () => {
    const parsed = parseHours('tue-sat 8-22:30, sun 10-14, 18-2, closed mon');
    if (!parsed.ok) throw new Error(parsed.problem);
    expect(hourGroups(parsed.week)).toEqual([
      { days: [2, 3, 4, 5, 6], spans: [{ from: '08:00', to: '22:30', closesNextDay: false }] },
      {
        days: [7],
        spans: [
          { from: '10:00', to: '14:00', closesNextDay: false },
          { from: '18:00', to: '02:00', closesNextDay: true },
        ],
      },
      { days: [1], spans: [] },
    ]);
  });

  it('reads the hours of one date', () => {
    expect(parseSpans('8-12, 14-18')).toEqual({
      ok: true,
      spans: [{ from: 480, to: 720 }, { from: 840, to: 1080 }],
    });
    expect(parseSpans('closed')).toEqual({ ok: true, spans: [] });
    expect(parseSpans('mon 8-12')).toMatchObject({ ok: false, problem: 'order-unclear' });
  });
});
