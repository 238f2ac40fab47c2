import type { Instant } from '../time/instant.ts';
import type { Appointment, Booking, CloseOut, Party, Proposal, ReopenedBecause, TechnicianId } from './booking-state.ts';
import type { Span } from './span.ts';

/** `elsewhere`: the technician's other visits, read in the same transaction as the booking. */
type FromTechnician =
  | { readonly kind: 'take'; readonly span: Span | null; readonly elsewhere: readonly Span[] }
  | { readonly kind: 'technician offers time'; readonly span: Span; readonly elsewhere: readonly Span[] }
  | { readonly kind: 'technician accepts'; readonly span: Span; readonly elsewhere: readonly Span[] }
  | { readonly kind: 'technician declines time'; readonly span: Span }
  | { readonly kind: 'cannot take' }
  /** Every road to this technician failed. */
  | { readonly kind: 'cannot be reached' }
  | { readonly kind: 'on my way' }
  | { readonly kind: 'here' }
  | { readonly kind: 'need a part'; readonly part: string; readonly expected: Instant | null }
  | { readonly kind: 'finished'; readonly closeOut: CloseOut }
  | { readonly kind: 'correct close-out'; readonly closeOut: CloseOut }
  | { readonly kind: 'technician calls off'; readonly reason: string };

type FromCafe =
  | { readonly kind: 'cafe offers time'; readonly span: Span }
  | { readonly kind: 'cafe accepts'; readonly span: Span; readonly elsewhere: readonly Span[] }
  | { readonly kind: 'cafe declines time'; readonly span: Span }
  /** Names whom it moves away from, so that pressing twice does not skip the next one. */
  | { readonly kind: 'cafe asks another'; readonly insteadOf: TechnicianId }
  | { readonly kind: 'cafe calls off'; readonly reason: string }
  | { readonly kind: 'reopen'; readonly why: ReopenedBecause };

export type TechnicianEvent = FromTechnician & { readonly technician: TechnicianId; readonly round: number };
export type CafeEvent = FromCafe & { readonly round: number };

/** `time passed` is the clock: whatever is overdue is acted on, once. */
export type BookingEvent = TechnicianEvent | CafeEvent | { readonly kind: 'time passed' };

export type Refusal =
  | 'out of date'
  | 'not asked'
  | 'another has it'
  | 'not taken yet'
  | 'nobody has it'
  | 'no such time'
  | 'time is past'
  | 'elsewhere then'
  | 'time already agreed'
  | 'already on the way'
  | 'already finished'
  | 'called off'
  | 'still open'
  | 'too long ago';

export type Recipient = { readonly party: 'cafe' } | { readonly party: 'technician'; readonly id: TechnicianId };

/** Who was waited for before, and why no longer. */
export type Passed = {
  readonly technician: TechnicianId;
  readonly why: 'no answer' | 'cannot take' | 'cannot be reached' | 'no time named' | 'cafe asks another';
};

export type Notice =
  | { readonly kind: 'asked'; readonly technician: TechnicianId; readonly answerBy: Instant; readonly insteadOf: Passed | null }
  | { readonly kind: 'taken'; readonly technician: TechnicianId; readonly proposal: Proposal | null }
  | { readonly kind: 'time agreed'; readonly technician: TechnicianId; readonly span: Span; readonly insteadOf: Span | null }
  | { readonly kind: 'time offered'; readonly technician: TechnicianId; readonly proposal: Proposal }
  | { readonly kind: 'time declined'; readonly technician: TechnicianId; readonly proposal: Proposal }
  | { readonly kind: 'on the way'; readonly technician: TechnicianId; readonly span: Span | null }
  | { readonly kind: 'here'; readonly technician: TechnicianId }
  | { readonly kind: 'waiting for a part'; readonly technician: TechnicianId; readonly part: string; readonly expected: Instant | null }
  | { readonly kind: 'finished' | 'close-out corrected'; readonly technician: TechnicianId; readonly closeOut: CloseOut }
  | { readonly kind: 'called off'; readonly by: Party; readonly technician: TechnicianId | null; readonly reason: string }
  /** The end of the order of call: people must telephone. */
  | { readonly kind: 'nobody took it'; readonly asked: readonly TechnicianId[]; readonly insteadOf: Passed | null }
  /** To whoever is waited for: no time is agreed yet. */
  | { readonly kind: 'answer wanted'; readonly technician: TechnicianId; readonly proposal: Proposal | null }
  | { readonly kind: 'please telephone'; readonly technician: TechnicianId }
  | { readonly kind: 'did it happen'; readonly technician: TechnicianId; readonly span: Span | null }
  | { readonly kind: 'you are asked'; readonly answerBy: Instant; readonly again: ReopenedBecause | null }
  /** To a technician who is no longer waited for. */
  | { readonly kind: 'you are released'; readonly why: Passed['why'] | 'another took it' };

export type Effect =
  | { readonly kind: 'tell'; readonly to: Recipient; readonly notice: Notice }
  | {
      readonly kind: 'calendar';
      readonly to: Recipient;
      readonly method: 'request' | 'cancel';
      readonly technician: TechnicianId;
      readonly appointment: Appointment;
    };

export type Applied =
  /**
   * The technician who pressed is answered from the new booking and is not among the effects, save for calendar
   * files; the café always is, because the one who pressed is not the whole café.
   */
  | { readonly kind: 'changed'; readonly booking: Booking; readonly effects: readonly Effect[] }
  /** It had happened before, or is overtaken: nobody is told again. */
  | { readonly kind: 'already'; readonly booking: Booking }
  | { readonly kind: 'refused'; readonly why: Refusal; readonly booking: Booking };
