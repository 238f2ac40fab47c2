import { describe, expect, test } from 'vitest';
import { days, hours, instant, later, minutes, type Instant } from '../../src/time/instant.ts';
import { apply, openBooking } from '../../src/bookings/booking.ts';
import { wakeAt } from '../../src/bookings/booking-clock.ts';
import type { Applied, BookingEvent, TechnicianEvent } from '../../src/bookings/booking-event.ts';
import { roundOf, type Booking, type CloseOut } from '../../src/bookings/booking-state.ts';
import { overlap, span, type Span } from '../../src/bookings/span.ts';
import { draws, type Draws } from './draws.ts';
import { everyoneKnows, hear, listen, liveAppointment, newBelievers, type Believers } from './believers.ts';

const start = instant(Date.UTC(2026, 9, 13, 8));
const technicians = ['ana', 'bea', 'carl', 'stranger'];
const closeOut: CloseOut = {
  cause: 'dirt in the valve',
  confirmedBy: null,
  fitted: [],
  words: null,
  minutes: 35,
  price: null,
  defectsLeft: [],
  shouldHaveBooked: null,
  adviceWasSafe: null,
};

/** Few different times, so that clashes, repeats and stale presses are common. */
const someSpan = (draw: Draws, now: Instant): Span => span(later(start, Math.floor((now - start) / hours(4) + draw.below(8) - 1) * hours(4)), hours(draw.one([1, 2])));

type Without<T, K extends PropertyKey> = T extends unknown ? Omit<T, K> : never;

const elsewhere: readonly Span[] = [];

const bodies = (draw: Draws, now: Instant): readonly Without<TechnicianEvent, 'technician' | 'round'>[] => [
  { kind: 'take', span: draw.one([null, someSpan(draw, now)]), elsewhere },
  { kind: 'take', span: someSpan(draw, now), elsewhere },
  { kind: 'take', span: someSpan(draw, now), elsewhere },
  { kind: 'technician offers time', span: someSpan(draw, now), elsewhere },
  { kind: 'technician offers time', span: someSpan(draw, now), elsewhere },
  { kind: 'technician accepts', span: someSpan(draw, now), elsewhere },
  { kind: 'cannot take' },
  { kind: 'cannot be reached' },
  { kind: 'on my way' },
  { kind: 'here' },
  { kind: 'need a part', part: draw.one(['valve', 'pump']), expected: draw.one([null, later(now, days(3))]) },
  { kind: 'finished', closeOut },
  { kind: 'correct close-out', closeOut: { ...closeOut, minutes: draw.one([35, 40]) } },
  { kind: 'technician calls off', reason: 'cured by telephone' },
];

type Elsewhere = (technician: string) => readonly Span[];

/** Mostly presses that fit what is on the table, as people do; often enough any press at all. */
const anyEvent = (draw: Draws, booking: Booking, now: Instant): BookingEvent => {
  const round = draw.below(12) === 0 ? draw.below(roundOf(booking) + 2) : roundOf(booking);
  const { state } = booking;
  const onTable = 'proposal' in state && state.proposal !== null ? state.proposal.span : someSpan(draw, now);
  const current = 'technician' in state && state.technician !== null && draw.below(4) > 0 ? state.technician : draw.one(technicians);
  const over = state.kind === 'finished' || state.kind === 'called off' || state.kind === 'nobody took it';
  if (over && draw.below(3) === 0) return { kind: 'reopen', why: draw.one(['not cured', 'came back', 'still needed']), round };
  switch (draw.below(9)) {
    case 0:
      return { kind: 'time passed' };
    case 4:
      return draw.one<BookingEvent>([
        { kind: 'take', technician: current, span: someSpan(draw, now), elsewhere, round },
        { kind: 'technician declines time', technician: current, span: onTable, round },
      ]);
    case 1:
      return { kind: 'cafe accepts', span: onTable, elsewhere, round };
    case 2:
      return { kind: 'technician accepts', technician: current, span: onTable, elsewhere, round };
    case 3:
      return draw.one<BookingEvent>([
        { kind: 'cafe offers time', span: someSpan(draw, now), round },
        { kind: 'cafe offers time', span: someSpan(draw, now), round },
        { kind: 'cafe declines time', span: onTable, round },
        { kind: 'cafe asks another', insteadOf: current, round },
        { kind: 'cafe calls off', reason: 'cured', round },
        { kind: 'reopen', why: 'came back', round },
      ]);
    default:
      return { ...draw.one(bodies(draw, now)), technician: current, round } as TechnicianEvent;
  }
};

type House = { booking: Booking; readonly believers: Believers; readonly pressed: BookingEvent[] };

const open = (draw: Draws, id: number, now: Instant): House => {
  const order = draw.one([['ana'], ['ana', 'bea'], ['bea', 'ana', 'carl'], ['bea', 'ana', 'carl'], []]);
  const suits = [span(later(start, days(1)), hours(12))].slice(0, draw.below(2));
  const opened = openBooking({ id: `b${id}`, cafe: `c${id}`, caseId: `k${id}`, order, suits, answering: { within: minutes(60), hours: null } }, now);
  const believers = newBelievers();
  listen(believers, opened.effects);
  return { booking: opened.booking, believers, pressed: [] };
};

/** Refusals that say nothing changed, and everything a changed booking must satisfy. */
const check = (house: House, event: BookingEvent, applied: Applied, now: Instant): void => {
  if (applied.kind !== 'changed') {
    expect(applied.booking).toBe(house.booking);
    return;
  }
  const { booking } = applied;
  const { state } = booking;
  expect(new Set(booking.asked).size).toBe(booking.asked.length);
  expect(booking.asked.every((technician) => booking.order.includes(technician))).toBe(true);
  if ('technician' in state && state.technician !== null && state.kind !== 'called off') expect(booking.asked).toContain(state.technician);
  expect(apply(booking, event, now).kind, `${event.kind} twice`).not.toBe('changed');
  expect(booking.caseId).toBe(house.booking.caseId);
};

/** Left alone by everybody, it ends with a person who knows that they must act, never in silence. */
const neverForgotten = (house: House, now: Instant): void => {
  let { booking } = house;
  const believers = house.believers;
  for (let at = now, steps = 0; ; steps += 1) {
    expect(steps, 'the clock must come to an end').toBeLessThan(20);
    const due = wakeAt(booking);
    if (due === null) break;
    at = due > at ? due : at;
    const applied = apply(booking, { kind: 'time passed' }, at);
    expect(applied.kind).toBe('changed');
    if (applied.kind !== 'changed') break;
    expect(applied.effects.length).toBeGreaterThan(0);
    hear(believers, { kind: 'time passed' }, applied);
    everyoneKnows(believers, applied.booking, at);
    booking = applied.booking;
  }
  const { state } = booking;
  const restsWithPeople = ('answerBy' in state && state.answerBy === null) || ('chased' in state && state.chased);
  expect(restsWithPeople || ['finished', 'called off', 'nobody took it'].includes(state.kind)).toBe(true);
};

const seen = { states: new Set<string>(), refusals: new Set<string>(), changedBy: new Set<string>(), changes: 0, repeats: 0, clashesRefused: 0, reopened: 0 };

const walk = (seed: number): void => {
  const draw = draws(seed);
  let now = start;
  const houses = [0, 1, 2].map((id) => open(draw, id, now));
  const diary: Elsewhere = (technician) => houses.flatMap((house) => appointmentsOf(house, technician));
  for (let step = 0; step < 60; step += 1) {
    now = later(now, draw.one([0, 0, 0, minutes(5), minutes(30), hours(2)]));
    const house = draw.one(houses);
    const others: Elsewhere = (technician) => houses.filter((other) => other !== house).flatMap((other) => appointmentsOf(other, technician));
    const repeat = house.pressed.length > 0 && draw.below(5) === 0;
    const event = withDiary(house.booking, repeat ? draw.one(house.pressed) : anyEvent(draw, house.booking, now), others);
    press(house, event, now);
    for (const technician of technicians) noOverlap(diary(technician));
  }
  for (const house of houses) neverForgotten(house, now);
};

/** The diary of whoever would come is read at the moment of the press, as the glue reads it in its transaction. */
const withDiary = (booking: Booking, event: BookingEvent, elsewhere: Elsewhere): BookingEvent => {
  if (event.kind === 'take' || event.kind === 'technician offers time' || event.kind === 'technician accepts') {
    return { ...event, elsewhere: elsewhere(event.technician) };
  }
  const { state } = booking;
  const holder = 'technician' in state && state.technician !== null ? state.technician : '';
  return event.kind === 'cafe accepts' ? { ...event, elsewhere: elsewhere(holder) } : event;
};

const appointmentsOf = (house: House, technician: string): readonly Span[] => {
  const { state } = house.booking;
  const live = liveAppointment(state);
  return live !== null && 'technician' in state && state.technician === technician ? [live] : [];
};

const noOverlap = (spans: readonly Span[]): void => {
  spans.forEach((one, i) => expect(spans.slice(i + 1).some((other) => overlap(one, other)), 'a technician in two places').toBe(false));
};

const press = (house: House, event: BookingEvent, now: Instant): void => {
  house.pressed.push(event);
  const applied = apply(house.booking, event, now);
  check(house, event, applied, now);
  hear(house.believers, event, applied);
  house.booking = applied.booking;
  everyoneKnows(house.believers, house.booking, now);
  seen.states.add(house.booking.state.kind);
  if (applied.kind === 'already') seen.repeats += 1;
  if (applied.kind === 'refused') {
    seen.refusals.add(applied.why);
    if (applied.why === 'elsewhere then') seen.clashesRefused += 1;
  }
  if (applied.kind === 'changed') {
    seen.changes += 1;
    seen.changedBy.add(event.kind);
    seen.reopened = Math.max(seen.reopened, house.booking.reopened.length);
  }
};

describe('thousands of presses in any order and twice', () => {
  test('no double booking, no lost booking, no illegal state, everyone knows', () => {
    for (let seed = 1; seed <= 1200; seed += 1) {
      try {
        walk(seed);
      } catch (cause) {
        throw new Error(`walk with seed ${seed}`, { cause });
      }
    }
  });

  test('the walks went everywhere: a check that met nothing would prove nothing', () => {
    expect([...seen.states].toSorted()).toEqual(
      ['asked', 'called off', 'finished', 'here', 'nobody took it', 'on the way', 'taken', 'time agreed', 'waiting for a part'].toSorted(),
    );
    expect(seen.refusals.size).toBeGreaterThanOrEqual(13);
    expect(seen.changedBy.size).toBe(19);
    expect(seen.changes).toBeGreaterThan(15_000);
    expect(seen.clashesRefused).toBeGreaterThan(50);
    expect(seen.reopened).toBeGreaterThanOrEqual(3);
  });
});
