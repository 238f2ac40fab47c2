import { later, days, type Instant } from '../time/instant.ts';
import type { Applied, Effect, Notice, Passed, Refusal } from './booking-event.ts';
import type { Appointment, Booking, HeldState, MovableState, Proposal, ReopenedBecause, State, TechnicianId, Waiting } from './booking-state.ts';
import { overlap, type Span } from './span.ts';
import { answerBy } from './urgency.ts';

export const already = (booking: Booking): Applied => ({ kind: 'already', booking });
export const refused = (booking: Booking, why: Refusal): Applied => ({ kind: 'refused', why, booking });
export const changed = (booking: Booking, patch: Partial<Booking>, effects: readonly Effect[]): Applied => ({
  kind: 'changed',
  booking: { ...booking, ...patch },
  effects,
});

export const tellCafe = (notice: Notice): Effect => ({ kind: 'tell', to: { party: 'cafe' }, notice });
export const tellTechnician = (id: TechnicianId, notice: Notice): Effect => ({ kind: 'tell', to: { party: 'technician', id }, notice });
export const tellBoth = (id: TechnicianId, notice: Notice): readonly Effect[] => [tellCafe(notice), tellTechnician(id, notice)];

/** The state this technician holds the booking in, or why there is none. */
export const heldBy = (booking: Booking, technician: TechnicianId): HeldState | Refusal => {
  const { state } = booking;
  switch (state.kind) {
    case 'asked':
    case 'nobody took it':
      if (!booking.asked.includes(technician)) return 'not asked';
      return state.kind === 'asked' ? 'not taken yet' : 'nobody has it';
    case 'called off':
      return 'called off';
    case 'finished':
      return state.technician === technician ? 'already finished' : 'another has it';
    case 'taken':
    case 'time agreed':
    case 'on the way':
    case 'here':
    case 'waiting for a part':
      return state.technician === technician ? state : 'another has it';
    default:
      return state satisfies never;
  }
};

/** A time that can no longer be kept, or at which the technician is with someone else. */
export const impossible = (span: Span, elsewhere: readonly Span[], now: Instant): Refusal | null => {
  if (span.end <= now || span.end <= span.start) return 'time is past';
  return elsewhere.some((other) => overlap(other, span)) ? 'elsewhere then' : null;
};

/** Waits again for whoever must speak next. */
export const waitingFor = (booking: Booking, proposal: Proposal | null, now: Instant): Waiting => ({
  proposal,
  answerBy: answerBy(booking.answering, now),
  reminded: false,
});

/** The same state with another time on the table, or none; without an agreed time the waiting starts anew. */
export const proposed = (booking: Booking, held: MovableState, proposal: Proposal | null, now: Instant): State =>
  held.kind === 'time agreed' ? { ...held, proposal } : { ...held, ...waitingFor(booking, proposal, now) };

/** Assumed (common practice, no source): when to ask again after a part that was promised for no certain day. */
export const assumedPartDays = 2;

export const waitingForPart = (booking: Booking, expected: Instant | null, now: Instant): Waiting => {
  const soonest = answerBy(booking.answering, now);
  const hoped = expected ?? later(now, days(assumedPartDays));
  return { proposal: null, answerBy: hoped > soonest ? hoped : soonest, reminded: false };
};

const appointmentOf = (state: State): Appointment | null =>
  state.kind === 'time agreed' || state.kind === 'on the way' || state.kind === 'here' ? state.appointment : null;

/** Takes an appointment that will not be kept out of both calendars; one that was kept stays. */
export const clearCalendars = (booking: Booking, kept: 'kept' | 'not kept', now: Instant): readonly Effect[] => {
  const { state } = booking;
  const appointment = appointmentOf(state);
  if (appointment === null || !('technician' in state) || state.technician === null) return [];
  const visited = kept === 'kept' || state.kind === 'here';
  if (visited && appointment.span.start <= now) return [];
  return calendarOfBoth('cancel', state.technician, { ...appointment, sequence: appointment.sequence + 1 });
};

const calendarOfBoth = (method: 'request' | 'cancel', technician: TechnicianId, appointment: Appointment): readonly Effect[] => [
  { kind: 'calendar', to: { party: 'cafe' }, method, technician, appointment },
  { kind: 'calendar', to: { party: 'technician', id: technician }, method, technician, appointment },
];

/** Both sides have said yes to this time. */
export const agree = (booking: Booking, technician: TechnicianId, time: Span, now: Instant, spoke: 'cafe' | 'technician'): Applied => {
  const before = booking.state.kind === 'time agreed' ? booking.state.appointment : null;
  const appointment: Appointment =
    before === null ? { number: booking.appointments + 1, sequence: 0, span: time } : { ...before, sequence: before.sequence + 1, span: time };
  const notice: Notice = { kind: 'time agreed', technician, span: time, insteadOf: before?.span ?? null };
  return changed(
    booking,
    {
      appointments: Math.max(booking.appointments, appointment.number),
      state: { kind: 'time agreed', technician, since: now, appointment, proposal: null, chased: false },
    },
    [...(spoke === 'cafe' ? tellBoth(technician, notice) : [tellCafe(notice)]), ...calendarOfBoth('request', technician, appointment)],
  );
};

/** Asks the next technician who has not been asked in this round; after the last, people must telephone. */
export const passOn = (booking: Booking, passed: Passed, now: Instant): Applied => {
  const release = passed.why === 'cannot take' ? [] : [tellTechnician(passed.technician, { kind: 'you are released', why: passed.why })];
  const asking = askNext(booking, passed, null, now);
  return changed(booking, asking.patch, [...clearCalendars(booking, 'not kept', now), ...release, ...asking.effects]);
};

type Asking = { readonly patch: Pick<Booking, 'asked' | 'state'>; readonly effects: readonly Effect[] };

export const askNext = (
  booking: Pick<Booking, 'order' | 'asked' | 'answering'>,
  insteadOf: Passed | null,
  again: ReopenedBecause | null,
  now: Instant,
): Asking => {
  const next = booking.order.find((technician) => !booking.asked.includes(technician));
  if (next === undefined) {
    return {
      patch: { asked: booking.asked, state: { kind: 'nobody took it', since: now } },
      effects: [tellCafe({ kind: 'nobody took it', asked: booking.asked, insteadOf })],
    };
  }
  const by = answerBy(booking.answering, now);
  return {
    patch: { asked: [...booking.asked, next], state: { kind: 'asked', technician: next, since: now, answerBy: by } },
    effects: [tellTechnician(next, { kind: 'you are asked', answerBy: by, again }), tellCafe({ kind: 'asked', technician: next, answerBy: by, insteadOf })],
  };
};
