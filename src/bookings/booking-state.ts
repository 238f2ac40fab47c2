import type { Instant } from '../time/instant.ts';
import type { Span } from './span.ts';
import type { Answering } from './urgency.ts';

export type TechnicianId = string;

export type Party = 'cafe' | 'technician';

/** One entry in two calendars. Moved, it keeps its number and raises the sequence; another visit gets a new number. */
export type Appointment = { readonly number: number; readonly sequence: number; readonly span: Span };

/** A time one side has named and the other has not answered. */
export type Proposal = { readonly by: Party; readonly span: Span };

/** No time is agreed: until when the other side is waited for; null once both have been told to telephone. */
export type Waiting = { readonly proposal: Proposal | null; readonly answerBy: Instant | null; readonly reminded: boolean };

type Held<K extends string, Facts> = { readonly kind: K; readonly technician: TechnicianId; readonly since: Instant } & Facts;

/** `chased`: it went on for too long without a word, and both sides have been asked. */
type UnderWay = { readonly appointment: Appointment | null; readonly chased: boolean };

export type HeldState =
  | Held<'taken', Waiting>
  /** Another time may be asked for; until it is accepted the agreed one stands. */
  | Held<'time agreed', { readonly appointment: Appointment; readonly proposal: Proposal | null; readonly chased: boolean }>
  | Held<'on the way', UnderWay>
  | Held<'here', UnderWay>
  | Held<'waiting for a part', Waiting & { readonly part: string }>;

export type State =
  | Held<'asked', { readonly answerBy: Instant }>
  | HeldState
  | Held<'finished', { readonly closeOut: CloseOut }>
  | { readonly kind: 'called off'; readonly by: Party; readonly technician: TechnicianId | null; readonly since: Instant; readonly reason: string }
  | { readonly kind: 'nobody took it'; readonly since: Instant };

/** How a seal was put in; null where nobody said, a shim of 0 where there is none. */
export type SealHow = { readonly sideUp: 'up' | 'down' | null; readonly shimMm: number | null; readonly material: 'rubber' | 'silicone' | null };

/** A part of the book, or words of the technician's own. */
export type FittedPart = { readonly part: string; readonly count: number; readonly group: number | null; readonly how?: SealHow | undefined };

/** What the technician writes at the end; null where nothing was said. */
export type CloseOut = {
  readonly cause: string;
  readonly confirmedBy: string | null;
  readonly fitted: readonly FittedPart[];
  /** Shown to the café as written. */
  readonly words: string | null;
  readonly minutes: number | null;
  /** In the smallest unit of the café's currency. */
  readonly price: number | null;
  readonly defectsLeft: readonly string[];
  readonly shouldHaveBooked: 'at that time' | 'earlier' | 'not at all' | null;
  readonly adviceWasSafe: boolean | null;
};

export type ReopenedBecause = 'not cured' | 'came back' | 'still needed';

export type Booking = {
  readonly id: string;
  readonly cafe: string;
  /** The fault this is about; it stays the same when the fault comes back. */
  readonly caseId: string;
  /** Technicians in the order of call, each once. */
  readonly order: readonly TechnicianId[];
  /** Asked since the booking was made or last reopened, the present one included. */
  readonly asked: readonly TechnicianId[];
  readonly answering: Answering;
  /** Stretches the café has said yes to beforehand; a visit inside one needs no second yes. */
  readonly suits: readonly Span[];
  /** Appointments made so far, called-off ones included. */
  readonly appointments: number;
  readonly reopened: readonly { readonly at: Instant; readonly why: ReopenedBecause }[];
  readonly state: State;
};

/** States in which another time can still be named. */
export type MovableState = Extract<HeldState, { readonly proposal: Proposal | null }>;

/** How often the booking had been reopened when a button was shown: older buttons no longer act. */
export const roundOf = (booking: Booking): number => booking.reopened.length;
