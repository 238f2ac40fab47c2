import type { Instant } from '../time/instant.ts';
import type { Applied, TechnicianEvent } from './booking-event.ts';
import { agree, already, changed, clearCalendars, heldBy, impossible, passOn, proposed, refused, tellCafe, tellTechnician, waitingFor, waitingForPart } from './booking-moves.ts';
import type { Booking, HeldState, Proposal, TechnicianId } from './booking-state.ts';
import { covers, sameSpan, type Span } from './span.ts';

type Event<K extends TechnicianEvent['kind']> = Extract<TechnicianEvent, { readonly kind: K }>;

export const technicianSays = (booking: Booking, event: TechnicianEvent, now: Instant): Applied => {
  switch (event.kind) {
    case 'take':
      return take(booking, event, now);
    case 'technician offers time':
      return offer(booking, event, now);
    case 'technician accepts':
      return accept(booking, event, now);
    case 'technician declines time':
      return decline(booking, event, now);
    case 'cannot take':
      return cannotTake(booking, event.technician, now);
    case 'cannot be reached':
      return cannotBeReached(booking, event.technician, now);
    case 'on my way':
      return comes(booking, event.technician, 'on the way', now);
    case 'here':
      return comes(booking, event.technician, 'here', now);
    case 'need a part':
      return needPart(booking, event, now);
    case 'finished':
      return finish(booking, event, now);
    case 'correct close-out':
      return correct(booking, event);
    case 'technician calls off':
      return callOff(booking, event, now);
    default:
      return event satisfies never;
  }
};

const take = (booking: Booking, event: Event<'take'>, now: Instant): Applied => {
  const held = heldBy(booking, event.technician);
  if (held === 'not taken yet' || held === 'nobody has it') return takeFirst(booking, event, now);
  if (typeof held === 'string') return refused(booking, held);
  if (held.kind === 'taken') return event.span === null ? already(booking) : name(booking, held, event.span, event.elsewhere, now);
  if (held.kind !== 'time agreed' || event.span === null) return already(booking);
  return sameSpan(held.appointment.span, event.span) ? already(booking) : refused(booking, 'time already agreed');
};

/** Whoever was asked in this round may still take it, even when the next one is being asked: the first yes counts. */
const takeFirst = (booking: Booking, event: Event<'take' | 'technician offers time'>, now: Instant): Applied => {
  const { technician, span } = event;
  const why = span === null ? null : impossible(span, event.elsewhere, now);
  if (why !== null) return refused(booking, why);
  const release = releaseAsked(booking, technician);
  if (span !== null && agreedBeforehand(booking, span)) return withEffects(agree(booking, technician, span, now, 'technician'), release);
  const proposal: Proposal | null = span === null ? null : { by: 'technician', span };
  return changed(booking, { state: { kind: 'taken', technician, since: now, ...waitingFor(booking, proposal, now) } }, [
    tellCafe({ kind: 'taken', technician, proposal }),
    ...release,
  ]);
};

const agreedBeforehand = (booking: Booking, span: Span): boolean => booking.suits.some((suits) => covers(suits, span));

const releaseAsked = (booking: Booking, taker: TechnicianId) =>
  booking.state.kind === 'asked' && booking.state.technician !== taker
    ? [tellTechnician(booking.state.technician, { kind: 'you are released', why: 'another took it' })]
    : [];

const withEffects = (applied: Applied, more: readonly ReturnType<typeof tellCafe>[]): Applied =>
  applied.kind === 'changed' ? { ...applied, effects: [...applied.effects, ...more] } : applied;

/** The technician who has it names a time: a yes to the café's, or a proposal of their own. */
const name = (booking: Booking, held: HeldState, span: Span, elsewhere: readonly Span[], now: Instant): Applied => {
  if (held.kind === 'on the way' || held.kind === 'here') return refused(booking, 'already on the way');
  if (held.kind === 'time agreed' && sameSpan(held.appointment.span, span)) return already(booking);
  if (held.proposal?.by === 'technician' && sameSpan(held.proposal.span, span)) return already(booking);
  const why = impossible(span, elsewhere, now);
  if (why !== null) return refused(booking, why);
  const saidYes = held.proposal?.by === 'cafe' && sameSpan(held.proposal.span, span);
  if (saidYes || (held.kind === 'taken' && agreedBeforehand(booking, span))) return agree(booking, held.technician, span, now, 'technician');
  const proposal: Proposal = { by: 'technician', span };
  return changed(booking, { state: proposed(booking, held, proposal, now) }, [tellCafe({ kind: 'time offered', technician: held.technician, proposal })]);
};

const offer = (booking: Booking, event: Event<'technician offers time'>, now: Instant): Applied => {
  const held = heldBy(booking, event.technician);
  if (held === 'not taken yet' || held === 'nobody has it') return takeFirst(booking, event, now);
  return typeof held === 'string' ? refused(booking, held) : name(booking, held, event.span, event.elsewhere, now);
};

const accept = (booking: Booking, event: Event<'technician accepts'>, now: Instant): Applied => {
  const held = heldBy(booking, event.technician);
  if (typeof held === 'string') return refused(booking, held);
  if (held.kind === 'on the way' || held.kind === 'here') return already(booking);
  if (held.kind === 'time agreed' && sameSpan(held.appointment.span, event.span)) return already(booking);
  if (held.proposal?.by !== 'cafe' || !sameSpan(held.proposal.span, event.span)) return refused(booking, 'no such time');
  const why = impossible(event.span, event.elsewhere, now);
  return why === null ? agree(booking, held.technician, event.span, now, 'technician') : refused(booking, why);
};

const decline = (booking: Booking, event: Event<'technician declines time'>, now: Instant): Applied => {
  const held = heldBy(booking, event.technician);
  if (typeof held === 'string') return refused(booking, held);
  if (held.kind === 'on the way' || held.kind === 'here') return already(booking);
  if (held.proposal?.by !== 'cafe' || !sameSpan(held.proposal.span, event.span)) return already(booking);
  return changed(booking, { state: proposed(booking, held, null, now) }, [
    tellCafe({ kind: 'time declined', technician: held.technician, proposal: held.proposal }),
  ]);
};

const cannotTake = (booking: Booking, technician: TechnicianId, now: Instant): Applied => {
  const held = heldBy(booking, technician);
  const asked = booking.state.kind === 'asked' && booking.state.technician === technician;
  if (asked || typeof held !== 'string') return passOn(booking, { technician, why: 'cannot take' }, now);
  return held === 'not asked' || held === 'already finished' ? refused(booking, held) : already(booking);
};

const cannotBeReached = (booking: Booking, technician: TechnicianId, now: Instant): Applied =>
  booking.state.kind === 'asked' && booking.state.technician === technician
    ? passOn(booking, { technician, why: 'cannot be reached' }, now)
    : already(booking);

const comes = (booking: Booking, technician: TechnicianId, kind: 'on the way' | 'here', now: Instant): Applied => {
  const held = heldBy(booking, technician);
  if (held === 'already finished') return already(booking);
  if (typeof held === 'string') return refused(booking, held);
  // "On my way" that arrives after "I'm here" must not send the technician back on the road.
  if (held.kind === kind || held.kind === 'here') return already(booking);
  const appointment = 'appointment' in held ? held.appointment : null;
  const notice = kind === 'here' ? ({ kind, technician } as const) : ({ kind, technician, span: appointment?.span ?? null } as const);
  return changed(booking, { state: { kind, technician, since: now, appointment, chased: false } }, [tellCafe(notice)]);
};

const needPart = (booking: Booking, event: Event<'need a part'>, now: Instant): Applied => {
  const { technician, part, expected } = event;
  const held = heldBy(booking, technician);
  if (typeof held === 'string') return refused(booking, held);
  if (held.kind === 'waiting for a part' && held.part === part) return already(booking);
  return changed(booking, { state: { kind: 'waiting for a part', technician, since: now, part, ...waitingForPart(booking, expected, now) } }, [
    ...clearCalendars(booking, 'not kept', now),
    tellCafe({ kind: 'waiting for a part', technician, part, expected }),
  ]);
};

const finish = (booking: Booking, event: Event<'finished'>, now: Instant): Applied => {
  const { technician, closeOut } = event;
  const held = heldBy(booking, technician);
  if (held === 'already finished') return already(booking);
  if (typeof held === 'string') return refused(booking, held);
  return changed(booking, { state: { kind: 'finished', technician, since: now, closeOut } }, [
    ...clearCalendars(booking, 'kept', now),
    tellCafe({ kind: 'finished', technician, closeOut }),
  ]);
};

const correct = (booking: Booking, event: Event<'correct close-out'>): Applied => {
  const { technician, closeOut } = event;
  const { state } = booking;
  if (state.kind !== 'finished' || state.technician !== technician) {
    const held = heldBy(booking, technician);
    return refused(booking, typeof held === 'string' ? held : 'still open');
  }
  if (JSON.stringify(state.closeOut) === JSON.stringify(closeOut)) return already(booking);
  return changed(booking, { state: { ...state, closeOut } }, [tellCafe({ kind: 'close-out corrected', technician, closeOut })]);
};

const callOff = (booking: Booking, event: Event<'technician calls off'>, now: Instant): Applied => {
  const { technician, reason } = event;
  const held = heldBy(booking, technician);
  if (held === 'called off') return already(booking);
  if (typeof held === 'string') return refused(booking, held);
  return changed(booking, { state: { kind: 'called off', by: 'technician', technician, since: now, reason } }, [
    ...clearCalendars(booking, 'not kept', now),
    tellCafe({ kind: 'called off', by: 'technician', technician, reason }),
  ]);
};
