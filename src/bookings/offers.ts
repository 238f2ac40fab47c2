import { calendarOf } from '../cafe/calendar.ts';
import type { Cafe, Technician } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import { minutes, type Instant } from '../time/instant.ts';
import type { Booking } from './booking-state.ts';
import { assumedWorkWeek, openSpans, quietSpans, workSpans } from './cafe-times.ts';
import { drivingMs, type Place } from './distance.ts';
import { elsewhereOf } from './records.ts';
import { covers, type Span } from './span.ts';
import { offerTimes, type OfferRequest } from './times.ts';

/** Assumed (common practice, no source): how long a visit takes, and the way to it where places are not known. */
export const assumedVisit = minutes(60);
export const assumedTravel = minutes(30);

const DAYS_AHEAD = 14;
/** Stands for a place that is not known; every way then takes the assumed time. */
const somewhere: Place = { latitude: 0, longitude: 0 };

/** What is known of a technician's own time. */
export type Desk = { readonly works: readonly Span[]; readonly onCall: readonly Span[]; readonly daysOff: readonly Span[]; readonly from: Place | null };

export const assumedDesk = (zone: string, now: Instant): Desk => ({ works: workSpans(assumedWorkWeek, zone, now, DAYS_AHEAD), onCall: [], daysOff: [], from: null });

export type Offering = {
  readonly cafe: Cafe;
  readonly technician: Technician;
  readonly booking: Booking;
  readonly urgent: boolean;
  readonly visitBy: Instant;
  readonly desk: Desk;
  readonly place: Place | null;
};

export type TimeOffer = { readonly span: Span; readonly agreed: boolean };

/** Times this technician can take at once: within what suits the café first; if there is none, times the café must still say yes to. */
export const offersFor = async (tx: Tx, { cafe, technician, booking, urgent, visitBy, desk, place }: Offering, now: Instant): Promise<readonly TimeOffer[]> => {
  const hours = calendarOf(cafe);
  const open = openSpans(hours, cafe.zone, now, DAYS_AHEAD);
  const visits = (await elsewhereOf(tx, technician.id, booking.id)).map((span) => ({ span, place: somewhere }));
  const known = desk.from !== null && place !== null;
  const whole: Span = { start: now, end: open.at(-1)?.end ?? now };
  const request: OfferRequest = {
    now, lengthMs: assumedVisit, access: booking.suits,
    // With a danger the earliest time is the right one, quiet or not.
    quiet: urgent ? [] : quietSpans(hours, cafe.zone, now, DAYS_AHEAD),
    technician: { works: urgent ? [whole, ...desk.works, ...desk.onCall] : desk.works, daysOff: desk.daysOff, visits, setsOutFrom: known ? desk.from : somewhere },
    cafe: known ? place : somewhere,
    travelMs: (from, to) => (known && from !== somewhere && to !== somewhere ? drivingMs(from, to) : assumedTravel),
    visitBy, most: 2,
  };
  const suiting = offerTimes(request);
  const found = suiting.length > 0 ? suiting : offerTimes({ ...request, access: open });
  return found.map(({ span }) => ({ span, agreed: booking.suits.some((suits) => covers(suits, span)) }));
};
