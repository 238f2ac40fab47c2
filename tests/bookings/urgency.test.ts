import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { days, hours, instant, later, minutes } from '../../src/time/instant.ts';
import type { Span } from '../../src/bookings/span.ts';
import { answerBy, assumedUrgency, byUrgency, urgencyOf, type Situation, type Urgency } from '../../src/bookings/urgency.ts';

const monday = instant(Date.UTC(2026, 9, 12));
const at = (day: number, hour: number) => later(monday, days(day) + hours(hour));
const open: readonly Span[] = [0, 1, 2, 3, 4, 5, 6].map((day) => ({ start: at(day, 8), end: at(day, 20) }));
const loss = (perHour: number) => open.map((one) => ({ ...one, perHour }));

const situation = (change: Partial<Situation> = {}): Situation => ({
  danger: 'none',
  groups: 2,
  groupsDown: 0,
  open,
  lost: null,
  agreed: null,
  askable: open,
  ...change,
});

const anySituation: fc.Arbitrary<Situation> = fc
  .record({
    danger: fc.constantFrom('none', 'none', 'machine', 'people'),
    groups: fc.integer({ min: 1, max: 4 }),
    down: fc.nat(4),
    perHour: fc.option(fc.double({ min: 0, max: 200, noNaN: true })),
    visitWithin: fc.option(fc.integer({ min: 1, max: 200 })),
    answerWithin: fc.option(fc.integer({ min: 5, max: 300 })),
  })
  .map((raw) =>
    situation({
      danger: raw.danger as Situation['danger'],
      groups: raw.groups,
      groupsDown: Math.min(raw.down, raw.groups),
      lost: raw.perHour === null ? null : loss(raw.perHour),
      agreed: {
        visitWithin: raw.visitWithin === null ? null : hours(raw.visitWithin),
        answerWithin: raw.answerWithin === null ? null : minutes(raw.answerWithin),
      },
    }),
  );
const anyUrgency = fc.tuple(anySituation, fc.nat(7 * 24)).map(([one, hour]) => urgencyOf(one, later(monday, hours(hour))));

describe('how urgent', () => {
  test('a danger is never queued behind a drip, however long the drip has waited or whatever was agreed for it', () => {
    fc.assert(
      fc.property(fc.array(anyUrgency, { maxLength: 12 }), (queue) => {
        const levels = queue.toSorted(byUrgency).map((one) => (one.people ? 'people' : one.level));
        const firstOther = levels.findIndex((level) => level !== 'danger' && level !== 'people');
        const rest = firstOther < 0 ? [] : levels.slice(firstOther);
        expect(rest).not.toContain('danger');
        expect(rest).not.toContain('people');
        expect(levels.indexOf('people', levels.indexOf('danger') + 1 || levels.length)).toBe(-1);
      }),
      { seed: 20274, numRuns: 1000 },
    );
  });

  test('the order is one order: nothing goes round in a circle', () => {
    fc.assert(
      fc.property(anyUrgency, anyUrgency, anyUrgency, (a, b, c) => {
        expect(Math.sign(byUrgency(a, b))).toBe(-Math.sign(byUrgency(b, a)) + 0);
        if (byUrgency(a, b) <= 0 && byUrgency(b, c) <= 0) expect(byUrgency(a, c)).toBeLessThanOrEqual(0);
      }),
      { seed: 20275, numRuns: 1000 },
    );
  });

  test('what cannot hurt anybody is overtaken for a week at most', () => {
    const old = urgencyOf(situation(), monday);
    const fresh = urgencyOf(situation({ groupsDown: 2 }), later(monday, days(7)));
    expect(byUrgency(old, fresh)).toBeLessThan(0);
  });

  test('the whole machine down goes before one group, one group before a nuisance', () => {
    const levels = [2, 1, 0].map((groupsDown) => urgencyOf(situation({ groupsDown }), at(0, 9)));
    expect(levels.map((one) => one.level)).toEqual(['stopped', 'losing', 'can wait']);
    expect([...levels].reverse().toSorted(byUrgency)).toEqual(levels);
  });

  test('trade lost sets the date: at 30 an hour, 120 are gone after four opening hours, the night not counted', () => {
    const morning = urgencyOf(situation({ groupsDown: 1, lost: loss(30) }), at(0, 9));
    expect(morning.visitBy).toBe(at(0, 13));
    const evening = urgencyOf(situation({ groupsDown: 1, lost: loss(30) }), at(0, 18));
    expect(evening.visitBy).toBe(at(1, 10));
    expect(evening.lostByThen).toBeCloseTo(120, 9);
  });

  test('a group down on a day without trade is no loss: it can wait', () => {
    const quiet = urgencyOf(situation({ groupsDown: 1, lost: loss(0) }), at(0, 9));
    expect(quiet.level).toBe('can wait');
    expect(quiet.visitBy).toBe(later(at(0, 9), assumedUrgency.longest));
  });

  test('a stopped machine is urgent even where the prices say that little is lost', () => {
    const stopped = urgencyOf(situation({ groupsDown: 2, lost: loss(0.1) }), at(0, 9));
    expect(stopped.level).toBe('stopped');
    expect(stopped.visitBy).toBe(at(0, 11));
  });

  test('more lost an hour never means a later visit', () => {
    const rate = fc.double({ min: 0, max: 300, noNaN: true });
    fc.assert(
      fc.property(rate, rate, fc.nat(160), (a, b, hour) => {
        const visit = (perHour: number) => urgencyOf(situation({ groupsDown: 1, lost: loss(perHour) }), later(monday, hours(hour))).visitBy;
        expect(visit(Math.max(a, b))).toBeLessThanOrEqual(visit(Math.min(a, b)));
      }),
      { seed: 20276 },
    );
  });

  test('what was agreed is kept, and never makes a danger wait longer', () => {
    const agreed = { answerWithin: hours(2), visitWithin: hours(30) };
    expect(urgencyOf(situation({ agreed }), at(0, 9)).visitBy).toBe(later(at(0, 9), hours(30)));
    const danger = urgencyOf(situation({ danger: 'machine', agreed }), at(0, 9));
    expect(danger.visitBy).toBe(later(at(0, 9), hours(4)));
    expect(danger.answering.within).toBe(minutes(10));
  });
});

describe('the promise of an answer', () => {
  test('asked ten minutes before the technician stops: the rest of the hour counts in the morning', () => {
    expect(urgencyOf(situation(), later(at(0, 20), -minutes(10))).answerBy).toBe(later(at(1, 8), minutes(50)));
  });

  test('a danger at night is asked at night, and people are told to telephone', () => {
    const night: Urgency = urgencyOf(situation({ danger: 'people' }), at(0, 23));
    expect(night.answerBy).toBe(later(at(0, 23), minutes(10)));
    expect(night.telephoneNow).toBe(true);
    expect(urgencyOf(situation({ groupsDown: 2 }), at(0, 9)).telephoneNow).toBe(false);
  });

  test('more urgent is never given longer to answer', () => {
    const within = assumedUrgency.answerWithin;
    expect([within.danger, within.stopped, within.losing, within['can wait']]).toEqual(
      [within.danger, within.stopped, within.losing, within['can wait']].toSorted((a, b) => a - b),
    );
  });

  test('an answer is due after the asking, never before', () => {
    fc.assert(
      fc.property(anyUrgency, fc.nat(500), (one, hour) => {
        const asked = later(monday, hours(hour));
        expect(answerBy(one.answering, asked)).toBeGreaterThan(asked);
      }),
      { seed: 20277 },
    );
  });
});
