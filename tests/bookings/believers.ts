import { expect } from 'vitest';
import type { Instant } from '../../src/time/instant.ts';
import type { Applied, BookingEvent, Effect, Notice } from '../../src/bookings/booking-event.ts';
import type { Booking, State, TechnicianId } from '../../src/bookings/booking-state.ts';
import type { Span } from '../../src/bookings/span.ts';

/** What a person thinks is so, from nothing but what they have been told. */
type Belief = { readonly kind: State['kind'] | 'nothing'; readonly technician: TechnicianId | null; readonly span: Span | null };

const nothing: Belief = { kind: 'nothing', technician: null, span: null };

type Entry = { readonly sequence: number; readonly cancelled: boolean; readonly span: Span };

export type Believers = {
  readonly beliefs: Map<string, Belief>;
  /** One calendar a person: entries by appointment. */
  readonly calendars: Map<string, Map<string, Entry>>;
};

export const newBelievers = (): Believers => ({ beliefs: new Map(), calendars: new Map() });

const truth = (state: State): Belief => ({
  kind: state.kind,
  technician: state.kind === 'nobody took it' ? null : state.technician,
  span: state.kind === 'time agreed' ? state.appointment.span : null,
});

/** What a technician should think: only the one it concerns thinks anything of it. */
const truthFor = (state: State, technician: TechnicianId): Belief =>
  state.kind === 'nobody took it' || state.kind === 'called off' || state.technician !== technician ? nothing : truth(state);

const heard = (before: Belief, notice: Notice): Belief => {
  switch (notice.kind) {
    case 'asked':
      return { kind: 'asked', technician: notice.technician, span: null };
    case 'taken':
      return { kind: 'taken', technician: notice.technician, span: null };
    case 'time agreed':
      return { kind: 'time agreed', technician: notice.technician, span: notice.span };
    case 'on the way':
    case 'here':
    case 'waiting for a part':
    case 'finished':
      return { kind: notice.kind, technician: notice.technician, span: null };
    case 'close-out corrected':
    case 'time offered':
    case 'time declined':
    case 'answer wanted':
    case 'please telephone':
    case 'did it happen':
      return before;
    case 'called off':
      return { kind: 'called off', technician: notice.technician, span: null };
    case 'nobody took it':
      return { kind: 'nobody took it', technician: null, span: null };
    case 'you are asked':
      return { kind: 'asked', technician: 'me', span: null };
    case 'you are released':
      return nothing;
    default:
      return notice satisfies never;
  }
};

const nameOf = (effect: Effect): string => (effect.to.party === 'cafe' ? 'cafe' : effect.to.id);

export const listen = (believers: Believers, effects: readonly Effect[]): void => {
  for (const effect of effects) {
    const name = nameOf(effect);
    if (effect.kind === 'tell') believers.beliefs.set(name, heard(believers.beliefs.get(name) ?? nothing, effect.notice));
    else note(believers, name, effect);
  }
};

/** RFC 5546, 2.1.5: of two messages on one event the one with the higher sequence counts. */
const note = (believers: Believers, name: string, effect: Extract<Effect, { readonly kind: 'calendar' }>): void => {
  const calendar = believers.calendars.get(name) ?? new Map<string, Entry>();
  believers.calendars.set(name, calendar);
  const key = `${effect.technician}#${effect.appointment.number}`;
  const known = calendar.get(key);
  expect(known === undefined || known.sequence < effect.appointment.sequence, `sequence of ${key} must rise`).toBe(true);
  expect(known?.cancelled ?? false, `${key} was cancelled and must stay so`).toBe(false);
  calendar.set(key, { sequence: effect.appointment.sequence, cancelled: effect.method === 'cancel', span: effect.appointment.span });
};

const entriesAfter = (believers: Believers, name: string, now: Instant): readonly Span[] =>
  [...(believers.calendars.get(name)?.values() ?? [])].filter((entry) => !entry.cancelled && entry.span.start > now).map((entry) => entry.span);

export const liveAppointment = (state: State): Span | null =>
  state.kind === 'time agreed' || state.kind === 'on the way' || state.kind === 'here' ? (state.appointment?.span ?? null) : null;

const plain = (belief: Belief, cafe: boolean): Belief => (cafe || belief.kind === 'nothing' ? belief : { ...belief, technician: null });

/** Everyone thinks what is so, and the calendars hold the coming appointment and no other. */
export const everyoneKnows = (believers: Believers, booking: Booking, now: Instant): void => {
  expect(believers.beliefs.get('cafe')).toEqual(truth(booking.state));
  const live = liveAppointment(booking.state);
  const coming = live !== null && live.start > now ? [live] : [];
  expect(entriesAfter(believers, 'cafe', now)).toEqual(coming);
  for (const technician of booking.order) {
    const expected = truthFor(booking.state, technician);
    const believed = believers.beliefs.get(technician) ?? nothing;
    const calledOff = believed.kind === 'called off' && expected.kind === 'nothing';
    expect(calledOff ? nothing : plain(believed, false)).toEqual(plain(expected, false));
    expect(entriesAfter(believers, technician, now)).toEqual(expected.kind === 'nothing' ? [] : coming);
  }
};

/** The technician who pressed has the answer in their hand; everybody else knows what they have been told. */
export const hear = (believers: Believers, event: BookingEvent, applied: Applied): void => {
  if (applied.kind !== 'changed') return;
  listen(believers, applied.effects);
  if ('technician' in event && event.kind !== 'cannot be reached') {
    const told = applied.effects.some((effect) => effect.kind === 'tell' && nameOf(effect) === event.technician);
    expect(told, 'the one who pressed is answered, not told').toBe(false);
    believers.beliefs.set(event.technician, truthFor(applied.booking.state, event.technician));
  }
};
