import { describe, expect, test } from 'vitest';
import { days, hours, instant, later, minutes, type Instant } from '../../src/time/instant.ts';
import { apply, openBooking } from '../../src/bookings/booking.ts';
import { assumedSilence, wakeAt } from '../../src/bookings/booking-clock.ts';
import { reopenWithinDays } from '../../src/bookings/booking-cafe.ts';
import type { BookingEvent, CafeEvent, Effect, TechnicianEvent } from '../../src/bookings/booking-event.ts';
import { roundOf, type Booking, type CloseOut } from '../../src/bookings/booking-state.ts';
import { span, type Span } from '../../src/bookings/span.ts';

const tuesday = instant(Date.UTC(2026, 9, 13, 8, 20));
const wednesday = (hour: number, minute = 0) => instant(Date.UTC(2026, 9, 14, hour, minute));
const quiet = span(wednesday(13), hours(2));
const visit = span(wednesday(13, 30), hours(1));
const evening = span(wednesday(18), hours(1));

const closeOut: CloseOut = {
  cause: 'dirt in the valve',
  confirmedBy: 'valve opened',
  fitted: [{ part: 'valve kit', count: 1, group: 2 }],
  words: 'scale in the valve, change the filter this week',
  minutes: 35,
  price: null,
  defectsLeft: [],
  shouldHaveBooked: 'at that time',
  adviceWasSafe: true,
};

const opened = (change: Partial<Parameters<typeof openBooking>[0]> = {}) =>
  openBooking(
    {
      id: 'b1',
      cafe: 'lantern street',
      caseId: 'drip',
      order: ['ana', 'bea'],
      suits: [quiet],
      answering: { within: minutes(60), hours: null },
      ...change,
    },
    tuesday,
  );

type Bare<T> = T extends unknown ? Omit<T, 'round'> : never;
type Press = Bare<CafeEvent> | Bare<TechnicianEvent> | { readonly kind: 'time passed' };

const asEvent = (booking: Booking, press: Press): BookingEvent =>
  press.kind === 'time passed' ? press : ({ ...press, round: roundOf(booking) } as BookingEvent);

/** Presses one after the other, each of which must change something; the last one's effects. */
const after = (booking: Booking, presses: readonly (readonly [Instant, Press])[]): { booking: Booking; effects: readonly Effect[] } => {
  let result: { booking: Booking; effects: readonly Effect[] } = { booking, effects: [] };
  for (const [at, press] of presses) {
    const applied = apply(result.booking, asEvent(result.booking, press), at);
    if (applied.kind !== 'changed') throw new Error(`${press.kind}: ${applied.kind === 'refused' ? applied.why : applied.kind}`);
    result = applied;
  }
  return result;
};

const press = (booking: Booking, what: Press, at: Instant) => apply(booking, asEvent(booking, what), at);
const told = (effects: readonly Effect[]) =>
  effects.map((effect) => {
    const to = effect.to.party === 'cafe' ? 'cafe' : effect.to.id;
    return effect.kind === 'tell' ? `${to}: ${effect.notice.kind}` : `${to}: calendar ${effect.method} ${effect.appointment.number}.${effect.appointment.sequence}`;
  });

const take = (technician: string, time: Span | null, elsewhere: readonly Span[] = []): Press => ({ kind: 'take', technician, span: time, elsewhere });
const agreed = () => after(opened().booking, [[later(tuesday, minutes(42)), take('ana', visit)]]).booking;

describe('a leak that ends in a booking', () => {
  test('asked is not taken: nothing is fixed until she takes it', () => {
    const { booking, effects } = opened();
    expect(booking.state).toMatchObject({ kind: 'asked', technician: 'ana', answerBy: later(tuesday, hours(1)) });
    expect(told(effects)).toEqual(['ana: you are asked', 'cafe: asked']);
  });

  test('taken at a time that suits: agreed at once, calendar files to both', () => {
    const taken = after(opened().booking, [[later(tuesday, minutes(42)), take('ana', visit)]]);
    expect(taken.booking.state).toMatchObject({ kind: 'time agreed', technician: 'ana', appointment: { number: 1, sequence: 0, span: visit } });
    expect(told(taken.effects)).toEqual(['cafe: time agreed', 'cafe: calendar request 1.0', 'ana: calendar request 1.0']);
  });

  test('on my way, here, finished: the café hears each, and the close-out is kept as written', () => {
    const done = after(agreed(), [
      [wednesday(13, 4), { kind: 'on my way', technician: 'ana' }],
      [wednesday(13, 29), { kind: 'here', technician: 'ana' }],
      [wednesday(14, 3), { kind: 'finished', technician: 'ana', closeOut }],
    ]);
    expect(done.booking.state).toMatchObject({ kind: 'finished', technician: 'ana', closeOut });
    expect(told(done.effects)).toEqual(['cafe: finished']);
    expect(press(done.booking, { kind: 'on my way', technician: 'ana' }, wednesday(14, 4)).kind).toBe('already');
  });

  test('"on my way" that arrives after "I am here" does not send her back on the road', () => {
    const here = after(agreed(), [[wednesday(13, 29), { kind: 'here', technician: 'ana' }]]).booking;
    expect(press(here, { kind: 'on my way', technician: 'ana' }, wednesday(13, 30)).kind).toBe('already');
  });

  test('a time outside what suits waits for the café: taken, not agreed', () => {
    const taken = after(opened().booking, [[tuesday, take('ana', evening)]]).booking;
    expect(taken.state).toMatchObject({ kind: 'taken', proposal: { by: 'technician', span: evening } });
    const settled = after(taken, [[tuesday, { kind: 'cafe accepts', span: evening, elsewhere: [] }]]);
    expect(settled.booking.state.kind).toBe('time agreed');
    expect(told(settled.effects)).toContain('ana: time agreed');
  });

  test('another time asked for: the agreed one stands until the other side says yes', () => {
    const asking = after(agreed(), [[tuesday, { kind: 'cafe offers time', span: evening }]]).booking;
    expect(asking.state).toMatchObject({ kind: 'time agreed', appointment: { span: visit } });
    const no = after(asking, [[tuesday, { kind: 'technician declines time', technician: 'ana', span: evening }]]).booking;
    expect(no.state).toMatchObject({ appointment: { span: visit }, proposal: null });
    const yes = after(asking, [[tuesday, { kind: 'technician accepts', technician: 'ana', span: evening, elsewhere: [] }]]);
    expect(yes.booking.state).toMatchObject({ appointment: { number: 1, sequence: 1, span: evening } });
    expect(told(yes.effects)).toEqual(['cafe: time agreed', 'cafe: calendar request 1.1', 'ana: calendar request 1.1']);
  });

  test('a yes to an offer that has been replaced is refused, not taken for a yes to the new one', () => {
    const twice = after(opened().booking, [
      [tuesday, take('ana', evening)],
      [tuesday, { kind: 'technician offers time', technician: 'ana', span: span(wednesday(20), hours(1)), elsewhere: [] }],
    ]).booking;
    expect(press(twice, { kind: 'cafe accepts', span: evening, elsewhere: [] }, tuesday)).toMatchObject({ kind: 'refused', why: 'no such time' });
  });
});

describe('two technicians', () => {
  test('no answer: the next one is asked, the first is told, the café knows whom it waits for', () => {
    const next = after(opened().booking, [[later(tuesday, hours(1)), { kind: 'time passed' }]]);
    expect(next.booking.state).toMatchObject({ kind: 'asked', technician: 'bea', answerBy: later(tuesday, hours(2)) });
    expect(told(next.effects)).toEqual(['ana: you are released', 'bea: you are asked', 'cafe: asked']);
  });

  test('the timer firing twice, or early, asks nobody more', () => {
    const next = after(opened().booking, [[later(tuesday, hours(1)), { kind: 'time passed' }]]).booking;
    expect(press(next, { kind: 'time passed' }, later(tuesday, hours(1))).kind).toBe('already');
    expect(press(opened().booking, { kind: 'time passed' }, later(tuesday, minutes(59))).kind).toBe('already');
  });

  test('after ten days without power the clock moves one technician at a time, each with the full time to answer', () => {
    const late = later(tuesday, days(10));
    const next = after(opened().booking, [[late, { kind: 'time passed' }]]).booking;
    expect(next.state).toMatchObject({ kind: 'asked', technician: 'bea', answerBy: later(late, hours(1)) });
  });

  test('the end of the list: people must telephone, and a late yes still counts', () => {
    const nobody = after(opened().booking, [
      [tuesday, { kind: 'cannot take', technician: 'ana' }],
      [tuesday, { kind: 'cannot be reached', technician: 'bea' }],
    ]);
    expect(nobody.booking.state.kind).toBe('nobody took it');
    expect(told(nobody.effects)).toEqual(['bea: you are released', 'cafe: nobody took it']);
    expect(after(nobody.booking, [[tuesday, take('bea', visit)]]).booking.state.kind).toBe('time agreed');
  });

  test('nobody in the list at all: said at once', () => {
    expect(told(opened({ order: [] }).effects)).toEqual(['cafe: nobody took it']);
  });

  test('the first yes counts: the other cannot take it too', () => {
    const bea = after(opened().booking, [[tuesday, { kind: 'cannot take', technician: 'ana' }], [tuesday, take('bea', visit)]]).booking;
    expect(press(bea, take('ana', visit), tuesday)).toMatchObject({ kind: 'refused', why: 'another has it' });
  });

  test('one who was passed over takes it while the next is being asked: the next is told', () => {
    const late = after(opened().booking, [[later(tuesday, hours(1)), { kind: 'time passed' }], [later(tuesday, hours(1)), take('ana', visit)]]);
    expect(told(late.effects)).toContain('bea: you are released');
  });

  test('a technician who is with another café then cannot be booked a second time', () => {
    const busy = [span(wednesday(14), hours(1))];
    expect(press(opened().booking, take('ana', visit, busy), tuesday)).toMatchObject({ kind: 'refused', why: 'elsewhere then' });
    const offered = after(opened().booking, [[tuesday, take('ana', evening)]]).booking;
    const accept: Press = { kind: 'cafe accepts', span: evening, elsewhere: [span(wednesday(18, 30), hours(1))] };
    expect(press(offered, accept, tuesday)).toMatchObject({ kind: 'refused', why: 'elsewhere then' });
  });

  test('a technician of another firm is not let in by a copied button', () => {
    for (const what of [take('eve', visit), { kind: 'on my way', technician: 'eve' }, { kind: 'finished', technician: 'eve', closeOut }] as const) {
      expect(press(opened().booking, what, tuesday)).toMatchObject({ kind: 'refused', why: 'not asked' });
      expect(press(agreed(), what, tuesday)).toMatchObject({ kind: 'refused', why: 'another has it' });
    }
  });

  test('cannot after all: the next is asked and the appointment leaves both calendars', () => {
    const given = after(agreed(), [[tuesday, { kind: 'cannot take', technician: 'ana' }]]);
    expect(given.booking.state).toMatchObject({ kind: 'asked', technician: 'bea' });
    expect(told(given.effects)).toEqual(['cafe: calendar cancel 1.1', 'ana: calendar cancel 1.1', 'bea: you are asked', 'cafe: asked']);
    const again = after(given.booking, [[tuesday, take('bea', visit)]]);
    expect(told(again.effects)).toContain('bea: calendar request 2.0');
  });

  test('given back in the middle of the appointment: it still leaves the calendars', () => {
    const given = after(agreed(), [[wednesday(13, 45), { kind: 'cannot take', technician: 'ana' }]]);
    expect(told(given.effects)).toContain('cafe: calendar cancel 1.1');
  });

  test('"ask another" pressed twice skips nobody', () => {
    const another: Press = { kind: 'cafe asks another', insteadOf: 'ana' };
    const once = after(opened().booking, [[tuesday, another]]).booking;
    expect(once.state).toMatchObject({ kind: 'asked', technician: 'bea' });
    expect(press(once, another, tuesday).kind).toBe('already');
  });
});

describe('what must not be forgotten', () => {
  test('taken without a time, and silent: reminded once, then the next is asked', () => {
    const taken = after(opened().booking, [[tuesday, take('ana', null)]]).booking;
    const first = wakeAt(taken);
    if (first === null) throw new Error('nobody waits');
    const reminded = after(taken, [[first, { kind: 'time passed' }]]);
    expect(told(reminded.effects)).toEqual(['ana: answer wanted']);
    const second = wakeAt(reminded.booking);
    if (second === null) throw new Error('nobody waits');
    const passed = after(reminded.booking, [[second, { kind: 'time passed' }]]).booking;
    expect(passed.state).toMatchObject({ kind: 'asked', technician: 'bea' });
  });

  test('the café silent about a time it was offered: reminded once, then both are told to telephone; she keeps it', () => {
    const offered = after(opened().booking, [[tuesday, take('ana', evening)]]).booking;
    const silent = after(offered, [
      [later(tuesday, hours(1)), { kind: 'time passed' }],
      [later(tuesday, hours(2)), { kind: 'time passed' }],
    ]);
    expect(silent.booking.state).toMatchObject({ kind: 'taken', technician: 'ana', answerBy: null });
    expect(told(silent.effects)).toEqual(['cafe: please telephone', 'ana: please telephone']);
    expect(wakeAt(silent.booking)).toBeNull();
  });

  test('the agreed time passes without a word: both are asked, once', () => {
    const at = later(visit.end, assumedSilence.afterAppointment);
    const chased = after(agreed(), [[at, { kind: 'time passed' }]]);
    expect(told(chased.effects)).toEqual(['cafe: did it happen', 'ana: did it happen']);
    expect(press(chased.booking, { kind: 'time passed' }, later(at, days(3))).kind).toBe('already');
  });

  test('a visit begun and not ended: the technician alone is asked, for the café knows she came', () => {
    const here = after(agreed(), [[visit.start, { kind: 'here', technician: 'ana' }]]).booking;
    expect(here.state.kind).toBe('here');
    const chased = after(here, [[later(visit.start, assumedSilence.underWay), { kind: 'time passed' }]]);
    expect(told(chased.effects)).toEqual(['ana: did it happen']);
  });

  test('a part is missing: the visit is over, the job is not; the same technician comes again with a new appointment', () => {
    const waiting = after(agreed(), [
      [wednesday(13, 29), { kind: 'here', technician: 'ana' }],
      [wednesday(13, 50), { kind: 'need a part', technician: 'ana', part: 'valve', expected: wednesday(17) }],
    ]);
    expect(waiting.booking.state).toMatchObject({ kind: 'waiting for a part', answerBy: wednesday(17) });
    expect(told(waiting.effects)).toEqual(['cafe: waiting for a part']);
    const back = after(waiting.booking, [
      [wednesday(15), { kind: 'technician offers time', technician: 'ana', span: evening, elsewhere: [] }],
      [wednesday(15), { kind: 'cafe accepts', span: evening, elsewhere: [] }],
    ]);
    expect(back.booking.state).toMatchObject({ kind: 'time agreed', appointment: { number: 2, sequence: 0 } });
  });

  test('not cured: the same case, the technician who was there first, and presses of the first round no longer act', () => {
    const done = after(opened({ order: ['bea', 'ana'] }).booking, [
      [tuesday, { kind: 'cannot take', technician: 'bea' }],
      [tuesday, take('ana', visit)],
      [wednesday(14), { kind: 'finished', technician: 'ana', closeOut }],
    ]).booking;
    const again = after(done, [[wednesday(16), { kind: 'reopen', why: 'not cured' }]]);
    expect(again.booking).toMatchObject({ caseId: 'drip', id: 'b1', state: { kind: 'asked', technician: 'ana' }, suits: [] });
    for (const round of [0, 1]) {
      expect(apply(again.booking, { kind: 'reopen', why: 'not cured', round }, wednesday(16)).kind).toBe('already');
    }
    const stale = apply(again.booking, { kind: 'cafe calls off', reason: 'cured', round: 0 }, wednesday(16));
    expect(stale).toMatchObject({ kind: 'refused', why: 'out of date' });
  });

  test('after a month it is a new case', () => {
    const done = after(agreed(), [[wednesday(14), { kind: 'finished', technician: 'ana', closeOut }]]).booking;
    const late = later(wednesday(14), days(reopenWithinDays) + 1);
    expect(press(done, { kind: 'reopen', why: 'came back' }, late)).toMatchObject({ kind: 'refused', why: 'too long ago' });
  });

  test('called off: both told why, calendars cleared; still needed: asked again from the start', () => {
    const off = after(agreed(), [[tuesday, { kind: 'cafe calls off', reason: 'tightened it ourselves' }]]);
    expect(told(off.effects)).toEqual(['cafe: calendar cancel 1.1', 'ana: calendar cancel 1.1', 'cafe: called off', 'ana: called off']);
    const again = after(off.booking, [[tuesday, { kind: 'reopen', why: 'still needed' }]]).booking;
    expect(again.state).toMatchObject({ kind: 'asked', technician: 'ana' });
  });

  test('one who gave it back is not asked first when it is still needed', () => {
    const off = after(opened({ order: ['bea', 'ana'] }).booking, [
      [tuesday, { kind: 'cannot take', technician: 'bea' }],
      [tuesday, take('ana', visit)],
      [tuesday, { kind: 'technician calls off', technician: 'ana', reason: 'ill' }],
      [tuesday, { kind: 'reopen', why: 'still needed' }],
    ]).booking;
    expect(off.state).toMatchObject({ kind: 'asked', technician: 'bea' });
  });

  test('a time that is over cannot be agreed by an old button', () => {
    expect(press(opened().booking, take('ana', visit), later(visit.end, 1))).toMatchObject({ kind: 'refused', why: 'time is past' });
  });

  test('a close-out is corrected once and told once', () => {
    const done = after(agreed(), [[wednesday(14), { kind: 'finished', technician: 'ana', closeOut }]]).booking;
    const priced: Press = { kind: 'correct close-out', technician: 'ana', closeOut: { ...closeOut, price: 12000 } };
    const corrected = after(done, [[wednesday(15), priced]]);
    expect(told(corrected.effects)).toEqual(['cafe: close-out corrected']);
    expect(press(corrected.booking, priced, wednesday(15)).kind).toBe('already');
  });
});
