import { IANAZone } from 'luxon';
import { describe, expect, test } from 'vitest';
import { type CafeHours, type DaySpans, NEVER, type WeekSpans } from '../../src/cafe/hours.ts';
import { duesBetween, type Repeat } from '../../src/cafe/hours-due.ts';
import { instant } from '../../src/time/instant.ts';
import { localDate } from '../../src/time/local-date.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import { isShown, momentsShown } from '../time/oracle.ts';
import { between, pick, type Random, randomFrom } from '../time/random-rules.ts';

// Opening hours on the days on which they go wrong most easily, against a zone library and the plain calendar:
// clocks forwards, clocks back, the turn of the year, the end of February in years with and without a leap day.

const ZONES = ['Europe/Madrid', 'Europe/London', 'Atlantic/Azores', 'America/New_York', 'America/Havana', 'America/Sao_Paulo', 'Africa/Cairo', 'Asia/Beirut', 'Asia/Kathmandu', 'Australia/Lord_Howe', 'Australia/Sydney', 'Pacific/Chatham'] as const;
const DAY = 86_400_000;
const MINUTE = 60_000;
const SEED = 29;

const dateOf = (utc: number): string => new Date(utc).toISOString().slice(0, 10);

/** Days of a year on which a zone's clocks change, and which way, by the other library alone. */
const changesIn = (zone: string, year: number): readonly { readonly date: string; readonly way: 'forwards' | 'back' }[] => {
  const of = IANAZone.create(zone);
  const first = Date.UTC(year, 0, 1);
  return Array.from({ length: 365 }, (_, i) => first + i * DAY).flatMap((at) => {
    const moved = of.offset(at + DAY) - of.offset(at);
    if (moved === 0) return [];
    const hour = Array.from({ length: 97 }, (_, i) => at + i * 15 * MINUTE).find((one) => of.offset(one) !== of.offset(at)) ?? at;
    return [{ date: dateOf(hour + of.offset(hour) * MINUTE), way: moved > 0 ? ('forwards' as const) : ('back' as const) }];
  });
};

type Kind = 'forwards' | 'back' | 'leap day' | 'no leap day' | 'turn of the year' | 'any';

const dayOfKind = (random: Random, kind: Kind, zone: string): string | undefined => {
  const year = between(random, 1996, 2036);
  switch (kind) {
    case 'forwards':
    case 'back': {
      const days = changesIn(zone, year).filter(({ way }) => way === kind);
      return days.length === 0 ? undefined : pick(random, days).date;
    }
    case 'leap day':
      return `${pick(random, [1996, 2000, 2004, 2024, 2028, 2032, 2096])}-02-29`;
    case 'no leap day':
      return `${pick(random, [2023, 2025, 2026, 2027, 2100])}-02-28`;
    case 'turn of the year':
      return `${year}-12-31`;
    case 'any':
      return dateOf(Date.UTC(year, 0, between(random, 1, 365)));
  }
};

/** Minutes after midnight, mostly near it or in the hours in which clocks change. */
const aTime = (random: Random, from: number, to: number): number => between(random, from / 5, to / 5) * 5;
const someHours = (random: Random): DaySpans => {
  const from = pick(random, [() => aTime(random, 0, 240), () => aTime(random, 300, 720), () => aTime(random, 960, 1380)])();
  // Half of the late ones shut in the hours in which clocks are changed.
  const to = from >= 960 && random() < 0.5 ? 1440 + aTime(random, 60, 240) : Math.min(from + aTime(random, 60, 900), from + 1440, 2160);
  return [{ from, to }];
};

const stay = (spans: DaySpans, shut: number): WeekSpans => [0, 1, 2, 3, 4, 5, 6].map((day) => (day === shut ? [] : spans)) as unknown as WeekSpans;

type Case = { readonly kind: Kind; readonly zone: string; readonly date: string; readonly spans: DaySpans; readonly shut: number; readonly cleaning: number; readonly before: number };

const KINDS: readonly Kind[] = ['forwards', 'forwards', 'back', 'back', 'leap day', 'no leap day', 'turn of the year', 'any'];

const casesFrom = (seed: number, count: number): readonly Case[] => {
  const random = randomFrom(seed);
  return Array.from({ length: count }).flatMap(() => {
    const [kind, zone] = [pick(random, KINDS), pick(random, ZONES)];
    const date = dayOfKind(random, kind, zone);
    // Monday is 0; 7: open every day.
    return date === undefined ? [] : [{ kind, zone, date, spans: someHours(random), shut: pick(random, [0, 6, 7, 7]), cleaning: pick(random, [0, 15, 30, 60]), before: pick(random, [0, 30, 90]) }];
  });
};

const cafeOf = ({ zone, spans, shut, cleaning }: Case): CafeHours => ({ zone, week: { days: stay(spans, shut), holidays: [] }, exceptions: [], holidays: new Set(), cleaningMinutes: cleaning, quiet: null, rush: NEVER });

const daily = (moment: Repeat['moment']): Repeat => {
  const parsed = parseRule('FREQ=DAILY');
  if (!parsed.ok) throw new Error(parsed.problem);
  return { rule: parsed.rule, start: localDate('1990-01-01'), moment, onClosed: 'skip' };
};

/** The first moment at which a zone shows so many minutes after the midnight of a date; where the clocks jump over it, as far behind the jump as it lay in it. */
const shownAt = (date: string, minutes: number, zone: string): number => {
  const asUtc = Date.parse(`${date}T00:00Z`) + minutes * MINUTE;
  const [day, time] = [dateOf(asUtc), new Date(asUtc).toISOString().slice(11, 16)];
  const [first] = momentsShown(day, time, zone);
  if (first !== undefined) return first;
  const of = IANAZone.create(zone);
  return asUtc - of.offset(asUtc - 1.5 * DAY) * MINUTE;
};

const WINDOW = 4;

/** Business dates around a day on which the café is open, counted on the calendar. */
const openDates = ({ date, shut, zone }: Case): readonly string[] =>
  Array.from({ length: 2 * WINDOW + 1 }, (_, i) => Date.parse(`${date}T00:00Z`) + (i - WINDOW) * DAY)
    .filter((utc) => (new Date(utc).getUTCDay() + 6) % 7 !== shut)
    .map(dateOf)
    .filter((one) => isShown(one, '12:00', zone));

const duesAround = (one: Case, moment: Repeat['moment']): ReadonlyMap<string, number> => {
  const middle = Date.parse(`${one.date}T12:00Z`);
  const dues = duesBetween(daily(moment), cafeOf(one), instant(middle - (WINDOW + 4) * DAY), instant(middle + (WINDOW + 4) * DAY));
  const wanted = new Set(openDates(one));
  expect(dues.every(({ at }, i) => i === 0 || at > (dues[i - 1]?.at ?? 0))).toBe(true);
  return new Map(dues.filter(({ date }) => wanted.has(date)).map(({ date, at }) => [date, at]));
};

describe(`opening hours on awkward days, seed ${SEED}`, () => {
  const cases = casesFrom(SEED, 400);

  test('every kind of day is among them', () => {
    for (const kind of new Set(KINDS)) expect({ kind, enough: cases.filter((one) => one.kind === kind).length >= 25 }).toEqual({ kind, enough: true });
  });

  test('one list for every evening that is open, a leap day too, and none for one that is shut', () => {
    for (const one of cases) expect({ one, dates: [...duesAround(one, { kind: 'at-closing' }).keys()] }).toEqual({ one, dates: openDates(one) });
  });

  test('cleaning begins so many minutes before the door is shut as the other library shows it, or with the opening', () => {
    for (const one of cases) {
      const [{ from, to } = { from: 0, to: 0 }] = one.spans;
      for (const [date, at] of duesAround(one, { kind: 'at-closing' })) {
        const [opens, closes] = [shownAt(date, from, one.zone), shownAt(date, to, one.zone)];
        const begin = Math.max(opens, Math.max(opens, closes) - one.cleaning * MINUTE);
        expect({ one, date, at: new Date(at).toISOString() }).toEqual({ one, date, at: new Date(begin).toISOString() });
      }
    }
  });

  test('before opening is so many minutes of real time before, or midnight where the clock change would make it the day before', () => {
    for (const one of cases) {
      const [{ from } = { from: 0 }] = one.spans;
      for (const [date, at] of duesAround(one, { kind: 'before-opening', minutes: one.before })) {
        const early = shownAt(date, from, one.zone) - one.before * MINUTE;
        const wanted = from >= one.before ? Math.max(early, shownAt(date, 0, one.zone)) : early;
        expect({ one, date, at: new Date(at).toISOString() }).toEqual({ one, date, at: new Date(wanted).toISOString() });
      }
    }
  });
});
