import type { Instant } from '../time/instant.ts';
import { cafeSays } from './booking-cafe.ts';
import { timePassed } from './booking-clock.ts';
import type { Applied, BookingEvent, Effect } from './booking-event.ts';
import { already, askNext, refused } from './booking-moves.ts';
import { roundOf, type Booking } from './booking-state.ts';
import { technicianSays } from './booking-technician.ts';

export type BookingRequest = Pick<Booking, 'id' | 'cafe' | 'caseId' | 'order' | 'answering' | 'suits'>;

/** Asks the first technician; with nobody to ask, people must telephone. */
export const openBooking = (request: BookingRequest, now: Instant): { readonly booking: Booking; readonly effects: readonly Effect[] } => {
  const order = [...new Set(request.order)];
  const asking = askNext({ ...request, order, asked: [] }, null, null, now);
  return { booking: { ...request, order, appointments: 0, reopened: [], ...asking.patch }, effects: asking.effects };
};

/**
 * What an event does to a booking. Any event may come in any order and more than once: one that has already had its
 * effect answers `already`, one that cannot have it any more is refused, and neither changes anything or tells anyone.
 */
export const apply = (booking: Booking, event: BookingEvent, now: Instant): Applied => {
  if (event.kind === 'time passed') return timePassed(booking, now);
  if (event.round !== roundOf(booking)) {
    const pressedAgain = event.kind === 'reopen' && event.round === roundOf(booking) - 1;
    return pressedAgain ? already(booking) : refused(booking, 'out of date');
  }
  return 'technician' in event ? technicianSays(booking, event, now) : cafeSays(booking, event, now);
};
