import { days, type Instant } from '../time/instant.ts';
import type { Applied, CafeEvent } from './booking-event.ts';
import { agree, already, askNext, changed, clearCalendars, impossible, passOn, proposed, refused, tellBoth, tellCafe, tellTechnician } from './booking-moves.ts';
import type { Booking, MovableState, Proposal, ReopenedBecause, TechnicianId } from './booking-state.ts';
import { sameSpan, type Span } from './span.ts';

type Event<K extends CafeEvent['kind']> = Extract<CafeEvent, { readonly kind: K }>;

export const cafeSays = (booking: Booking, event: CafeEvent, now: Instant): Applied => {
  switch (event.kind) {
    case 'cafe offers time':
      return offer(booking, event.span, now);
    case 'cafe accepts':
      return accept(booking, event, now);
    case 'cafe declines time':
      return decline(booking, event.span, now);
    case 'cafe asks another':
      return askAnother(booking, event.insteadOf, now);
    case 'cafe calls off':
      return callOff(booking, event.reason, now);
    case 'reopen':
      return reopen(booking, event.why, now);
    default:
      return event satisfies never;
  }
};

const offer = (booking: Booking, span: Span, now: Instant): Applied => {
  const { state } = booking;
  if (impossible(span, [], now) !== null) return refused(booking, 'time is past');
  switch (state.kind) {
    case 'asked':
      return suitsToo(booking, state.technician, span);
    case 'taken':
    case 'time agreed':
    case 'waiting for a part':
      return propose(booking, state, span, now);
    case 'on the way':
    case 'here':
      return refused(booking, 'already on the way');
    case 'finished':
      return refused(booking, 'already finished');
    case 'called off':
      return refused(booking, 'called off');
    case 'nobody took it':
      return refused(booking, 'nobody has it');
    default:
      return state satisfies never;
  }
};

/** Nobody has taken it yet: one more stretch in which a yes needs no second yes. */
const suitsToo = (booking: Booking, technician: TechnicianId, span: Span): Applied =>
  booking.suits.some((known) => sameSpan(known, span))
    ? already(booking)
    : changed(booking, { suits: [...booking.suits, span] }, tellBoth(technician, { kind: 'time offered', technician, proposal: { by: 'cafe', span } }));

const propose = (booking: Booking, held: MovableState, span: Span, now: Instant): Applied => {
  if (held.kind === 'time agreed' && sameSpan(held.appointment.span, span)) return already(booking);
  if (held.proposal?.by === 'cafe' && sameSpan(held.proposal.span, span)) return already(booking);
  const proposal: Proposal = { by: 'cafe', span };
  return changed(booking, { state: proposed(booking, held, proposal, now) }, tellBoth(held.technician, { kind: 'time offered', technician: held.technician, proposal }));
};

const movable = (booking: Booking): MovableState | null => {
  const { state } = booking;
  return state.kind === 'taken' || state.kind === 'time agreed' || state.kind === 'waiting for a part' ? state : null;
};

const accept = (booking: Booking, event: Event<'cafe accepts'>, now: Instant): Applied => {
  const held = movable(booking);
  if (held?.kind === 'time agreed' && sameSpan(held.appointment.span, event.span)) return already(booking);
  if (held?.proposal?.by !== 'technician' || !sameSpan(held.proposal.span, event.span)) return refused(booking, 'no such time');
  const why = impossible(event.span, event.elsewhere, now);
  return why === null ? agree(booking, held.technician, event.span, now, 'cafe') : refused(booking, why);
};

const decline = (booking: Booking, span: Span, now: Instant): Applied => {
  const held = movable(booking);
  if (held?.proposal?.by !== 'technician' || !sameSpan(held.proposal.span, span)) return already(booking);
  const notice = { kind: 'time declined', technician: held.technician, proposal: held.proposal } as const;
  return changed(booking, { state: proposed(booking, held, null, now) }, tellBoth(held.technician, notice));
};

const askAnother = (booking: Booking, insteadOf: TechnicianId, now: Instant): Applied => {
  const { state } = booking;
  switch (state.kind) {
    case 'asked':
    case 'taken':
    case 'time agreed':
    case 'waiting for a part':
      return state.technician === insteadOf ? passOn(booking, { technician: insteadOf, why: 'cafe asks another' }, now) : already(booking);
    case 'on the way':
    case 'here':
      return state.technician === insteadOf ? refused(booking, 'already on the way') : already(booking);
    case 'finished':
      return refused(booking, 'already finished');
    case 'called off':
      return refused(booking, 'called off');
    case 'nobody took it':
      return already(booking);
    default:
      return state satisfies never;
  }
};

const callOff = (booking: Booking, reason: string, now: Instant): Applied => {
  const { state } = booking;
  if (state.kind === 'called off') return already(booking);
  if (state.kind === 'finished') return refused(booking, 'already finished');
  const technician = state.kind === 'nobody took it' ? null : state.technician;
  const notice = { kind: 'called off', by: 'cafe', technician, reason } as const;
  return changed(booking, { state: { kind: 'called off', by: 'cafe', technician, since: now, reason } }, [
    ...clearCalendars(booking, 'not kept', now),
    tellCafe(notice),
    ...(technician === null ? [] : [tellTechnician(technician, notice)]),
  ]);
};

/** After this, the same trouble is a new case (assumed; common practice, no source). */
export const reopenWithinDays = 30;

const reopen = (booking: Booking, why: ReopenedBecause, now: Instant): Applied => {
  const { state } = booking;
  if (state.kind !== 'finished' && state.kind !== 'called off' && state.kind !== 'nobody took it') {
    return booking.reopened.length > 0 ? already(booking) : refused(booking, 'still open');
  }
  if (now - state.since > days(reopenWithinDays)) return refused(booking, 'too long ago');
  const order = [...new Set([...knowsIt(booking), ...booking.order])];
  // What suited a fault that nobody has looked at still does.
  const suits = state.kind === 'nobody took it' ? booking.suits.filter(({ end }) => end > now) : [];
  const fresh = { ...booking, order, asked: [], suits, reopened: [...booking.reopened, { at: now, why }] };
  const asking = askNext(fresh, null, why, now);
  return changed(fresh, asking.patch, asking.effects);
};

/** The technician who was there knows the case and is asked first, unless they gave it back themselves. */
const knowsIt = (booking: Booking): readonly TechnicianId[] => {
  const { state } = booking;
  if (state.kind === 'finished') return [state.technician];
  return state.kind === 'called off' && state.by === 'cafe' && state.technician !== null ? [state.technician] : [];
};
