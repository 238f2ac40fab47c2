import { describe, expect, test } from 'vitest';
import { days, hours, instant, later, minutes, type Instant } from '../../src/time/instant.ts';
import { drivingMs, type Place } from '../../src/bookings/distance.ts';
import { covers, overlap, span, type Span } from '../../src/bookings/span.ts';
import { offerTimes, quarter, type OfferRequest } from '../../src/bookings/times.ts';
import { draws, type Draws } from './draws.ts';

// Valencia is two hours ahead of Greenwich in October: open 8 to 22:30, quiet 15 to 17.
const midnight = instant(Date.UTC(2026, 9, 12, 22));
const at = (day: number, hour: number, minute = 0): Instant => later(midnight, days(day) + hours(hour) + minutes(minute));
const from = (day: number, start: number, end: number): Span => ({ start: at(day, start), end: at(day, end) });
const week = [0, 1, 2, 3, 4];

const cafe: Place = { latitude: 39.47, longitude: -0.38 };
const workshop: Place = { latitude: 39.49, longitude: -0.36 };

const request = (change: Partial<OfferRequest> = {}, technician: Partial<OfferRequest['technician']> = {}): OfferRequest => ({
  now: at(0, 10, 20),
  lengthMs: hours(1),
  access: week.map((day) => from(day, 8, 22.5)),
  quiet: week.map((day) => from(day, 15, 17)),
  technician: { works: week.map((day) => from(day, 8, 18)), daysOff: [], visits: [], setsOutFrom: workshop, ...technician },
  cafe,
  travelMs: drivingMs,
  visitBy: at(4, 20),
  most: 2,
  ...change,
});

const starts = (asked: OfferRequest) => offerTimes(asked).map((one) => one.span.start);

describe('times that both can keep', () => {
  test('quiet hours first: today and tomorrow at 15', () => {
    expect(offerTimes(request())).toEqual([
      { span: span(at(0, 15), hours(1)), quiet: true, inTime: true },
      { span: span(at(1, 15), hours(1)), quiet: true, inTime: true },
    ]);
  });

  test('another visit until 15 across town: the offer moves by the drive, to the next quarter', () => {
    const visits = [{ span: from(0, 14, 15), place: { latitude: 39.52, longitude: -0.42 } }];
    const [first] = starts(request({}, { visits }));
    const drive = drivingMs({ latitude: 39.52, longitude: -0.42 }, cafe);
    expect(first).toBe(at(0, 15, Math.ceil(drive / quarter) * 15));
  });

  test('a visit soon after: only a start that leaves time to get there', () => {
    const visits = [{ span: from(0, 16, 18), place: workshop }];
    expect(starts(request({}, { visits }))).toEqual([at(1, 15), at(2, 15)]);
  });

  test('a day off is no day for a visit', () => {
    expect(starts(request({}, { daysOff: [from(0, 0, 24), from(1, 0, 24)] }))).toEqual([at(2, 15), at(3, 15)]);
  });

  test('urgent before the first quiet hour: the earliest time of all stands first', () => {
    const urgent = offerTimes(request({ visitBy: at(0, 13) }));
    const soonest = Math.ceil((at(0, 10, 20) + drivingMs(workshop, cafe)) / quarter) * quarter;
    expect(urgent[0]).toMatchObject({ span: { start: soonest }, quiet: false, inTime: true });
    expect(urgent[1]).toMatchObject({ span: { start: at(0, 15) }, quiet: true, inTime: false });
  });

  test('no quiet hours set: the earliest of each day', () => {
    expect(starts(request({ quiet: [] }))).toEqual([at(0, 10, 45), at(1, 8)]);
  });

  test('a visit longer than the quiet stretch begins in it', () => {
    expect(starts(request({ lengthMs: hours(2.5) }))).toEqual([at(0, 15), at(1, 15)]);
  });

  test('a technician who works only at night has nothing to offer', () => {
    expect(offerTimes(request({}, { works: week.map((day) => from(day, 23, 24)) }))).toEqual([]);
  });
});

const randomRequest = (draw: Draws): OfferRequest => {
  const stretch = (day: number, longest: number) => span(at(day, draw.below(20), draw.one([0, 15, 30])), hours(1 + draw.below(longest)));
  const some = (most: number, longest: number) => week.flatMap((day) => Array.from({ length: draw.below(most) }, () => stretch(day, longest)));
  const spot = (): Place => ({ latitude: 39.4 + draw.unit() * 0.15, longitude: -0.45 + draw.unit() * 0.15 });
  return request(
    {
      now: at(0, draw.below(24), draw.below(60)),
      lengthMs: minutes(draw.one([30, 60, 90, 150])),
      quiet: some(3, 3),
      access: some(3, 12),
      visitBy: at(draw.below(5), draw.below(24)),
      most: 1 + draw.below(4),
    },
    {
      works: some(3, 12),
      daysOff: some(2, 20),
      visits: some(3, 2).map((one) => ({ span: one, place: spot() })),
      setsOutFrom: spot(),
    },
  );
};

/** Walks through the visit quarter by quarter, and from visit to visit, instead of reckoning with sets. */
const canBeKept = (asked: OfferRequest, one: Span): boolean => {
  for (let tick: number = one.start; tick < one.end; tick += quarter) {
    const held = (spans: readonly Span[]) => spans.some((s) => s.start <= tick && tick < s.end);
    if (!held(asked.access) || !held(asked.technician.works) || held(asked.technician.daysOff)) return false;
  }
  if (asked.now + asked.travelMs(asked.technician.setsOutFrom, asked.cafe) > one.start) return false;
  for (const visit of asked.technician.visits) {
    if (overlap(visit.span, one)) return false;
    const before = visit.span.end <= one.start;
    const gap = before ? one.start - visit.span.end : visit.span.start - one.end;
    if (gap < asked.travelMs(visit.place, asked.cafe)) return false;
  }
  return true;
};

const everyStart = (asked: OfferRequest, within: Span): readonly Span[] => {
  const found: Span[] = [];
  for (let start: number = Math.ceil(within.start / quarter) * quarter; start < within.end; start += quarter) {
    const one = span(instant(start), asked.lengthMs);
    if (canBeKept(asked, one)) found.push(one);
  }
  return found;
};

describe('a thousand calendars', () => {
  test('nothing is offered that cannot be kept, no quiet time is overlooked, urgent ones are not kept waiting', () => {
    const draw = draws(20287);
    const met = { offers: 0, none: 0, urgent: 0 };
    for (let run = 0; run < 1000; run += 1) {
      const asked = randomRequest(draw);
      const offers = offerTimes(asked);
      expect(offers.length).toBeLessThanOrEqual(asked.most);
      for (const offer of offers) expect(canBeKept(asked, offer.span), `run ${run}`).toBe(true);
      offers.forEach((offer, i) => expect(offers.slice(i + 1).some((other) => overlap(other.span, offer.span))).toBe(false));
      met.offers += offers.length;
      const possible = asked.access.flatMap((one) => everyStart(asked, one));
      if (offers.length === 0) {
        met.none += 1;
        expect(possible, `run ${run}: something was possible`).toEqual([]);
      }
      const soonest = Math.min(...possible.map((one) => one.start));
      if (soonest <= asked.visitBy && offers.length > 0) {
        met.urgent += 1;
        expect(offers.some((offer) => offer.inTime), `run ${run}: a time in time was possible`).toBe(true);
      }
      if (offers.length < asked.most) quietAllOffered(asked, offers.map((offer) => offer.span), run);
    }
    expect(Math.min(met.none, met.urgent)).toBeGreaterThan(50);
    expect(met.offers).toBeGreaterThan(500);
  });

  const quietAllOffered = (asked: OfferRequest, offered: readonly Span[], run: number): void => {
    for (const quiet of asked.quiet) {
      const whole = everyStart(asked, quiet).filter((one) => covers(quiet, one));
      const taken = whole.length === 0 || offered.some((one) => whole.some((other) => overlap(one, other)));
      expect(taken, `run ${run}: a quiet time was overlooked`).toBe(true);
    }
  };
});
