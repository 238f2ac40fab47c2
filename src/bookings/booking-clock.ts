import { hours, later, minutes, type Instant } from '../time/instant.ts';
import type { Applied } from './booking-event.ts';
import { already, changed, passOn, tellBoth, tellCafe, tellTechnician } from './booking-moves.ts';
import type { Booking, HeldState } from './booking-state.ts';
import { answerBy } from './urgency.ts';

/** Assumed (common practice, no source): silence after the agreed time, and after "on my way" or "I'm here". */
export const assumedSilence = { afterAppointment: minutes(30), underWay: hours(8) } as const;

/** The next instant at which {@link timePassed} would change something; null: nothing is waited for. */
export const wakeAt = (booking: Booking): Instant | null => {
  const { state } = booking;
  switch (state.kind) {
    case 'asked':
    case 'taken':
    case 'waiting for a part':
      return state.answerBy;
    case 'time agreed':
      return state.chased ? null : later(state.appointment.span.end, assumedSilence.afterAppointment);
    case 'on the way':
    case 'here':
      return state.chased ? null : later(state.since, assumedSilence.underWay);
    case 'finished':
    case 'called off':
    case 'nobody took it':
      return null;
    default:
      return state satisfies never;
  }
};

export const timePassed = (booking: Booking, now: Instant): Applied => {
  const due = wakeAt(booking);
  if (due === null || now < due) return already(booking);
  const { state } = booking;
  switch (state.kind) {
    case 'asked':
      return passOn(booking, { technician: state.technician, why: 'no answer' }, now);
    case 'taken':
    case 'waiting for a part':
      return state.reminded ? reminderUnanswered(booking, state, now) : remind(booking, state, now);
    case 'time agreed':
    case 'on the way':
    case 'here':
      return chase(booking, state);
    case 'finished':
    case 'called off':
    case 'nobody took it':
      return already(booking);
    default:
      return state satisfies never;
  }
};

type Undecided = Extract<HeldState, { readonly reminded: boolean }>;

const remind = (booking: Booking, state: Undecided, now: Instant): Applied => {
  const notice = { kind: 'answer wanted', technician: state.technician, proposal: state.proposal } as const;
  const told = state.proposal?.by === 'technician' ? tellCafe(notice) : tellTechnician(state.technician, notice);
  return changed(booking, { state: { ...state, reminded: true, answerBy: answerBy(booking.answering, now) } }, [told]);
};

/** A technician who took it and names no time is passed over; where the café is silent, or a part is on order, people must talk. */
const reminderUnanswered = (booking: Booking, state: Undecided, now: Instant): Applied => {
  const technicianSilent = state.proposal?.by !== 'technician';
  if (state.kind === 'taken' && technicianSilent) return passOn(booking, { technician: state.technician, why: 'no time named' }, now);
  return changed(booking, { state: { ...state, answerBy: null } }, tellBoth(state.technician, { kind: 'please telephone', technician: state.technician }));
};

/** Where the technician pressed "I'm here", the café need not say so: only the end of the visit is asked for. */
const chase = (booking: Booking, state: Extract<HeldState, { readonly chased: boolean }>): Applied => {
  const notice = { kind: 'did it happen', technician: state.technician, span: state.appointment?.span ?? null } as const;
  return changed(booking, { state: { ...state, chased: true } }, state.kind === 'here' ? [tellTechnician(state.technician, notice)] : tellBoth(state.technician, notice));
};
