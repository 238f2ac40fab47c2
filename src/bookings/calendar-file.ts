import { ICalAlarmType, ICalAttendeeRole, ICalAttendeeStatus, ICalCalendarMethod, ICalEventStatus, default as ical } from 'ical-generator';
import type { Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';
import type { Appointment } from './booking-state.ts';
import type { Place } from './distance.ts';

export type CalendarVisit = {
  readonly bookingId: string;
  readonly appointment: Appointment;
  readonly method: 'request' | 'cancel';
  /** When this file is written. */
  readonly stamp: Instant;
  readonly summary: string;
  /** Names the time in the café's own zone as well: the entry itself is in UTC. */
  readonly description: string;
  /** Null until the technician has taken it: the address is told after that. */
  readonly location: string | null;
  readonly place: Place | null;
  readonly cafe: string;
  readonly technician: string;
  /** Null: no alarm. */
  readonly alarmMinutesBefore: number | null;
};

/** A domain that can belong to nobody (RFC 2606): an answer by mail goes nowhere instead of to a stranger. */
const domain = 'grouphand.invalid';

export const calendarUid = (bookingId: string, appointmentNumber: number): string => `${bookingId}-${appointmentNumber}@${domain}`;

/** By the day of the visit: a name people can find again, and no id. */
export const calendarFileName = (date: LocalDate): string => `visit-${date}.ics`;

/**
 * One appointment as an iCalendar file (RFC 5545) with the scheduling method of RFC 5546. Times are in UTC: a single
 * visit needs no zone rules, and those that could be enclosed are older than the ones every calendar has.
 */
export const calendarFile = (visit: CalendarVisit): string => {
  const cancelled = visit.method === 'cancel';
  const calendar = ical({ prodId: '//Grouphand//Technician visits//EN', method: cancelled ? ICalCalendarMethod.CANCEL : ICalCalendarMethod.REQUEST });
  const event = calendar.createEvent({
    id: calendarUid(visit.bookingId, visit.appointment.number),
    sequence: visit.appointment.sequence,
    stamp: new Date(visit.stamp),
    start: new Date(visit.appointment.span.start),
    end: new Date(visit.appointment.span.end),
    summary: text(visit.summary),
    description: text(visit.description),
    status: cancelled ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
    organizer: { name: name(visit.cafe), email: `cafe@${domain}` },
    attendees: [
      {
        name: name(visit.technician),
        email: `technician@${domain}`,
        role: ICalAttendeeRole.REQ,
        status: ICalAttendeeStatus.ACCEPTED,
        rsvp: false,
      },
    ],
    location: locationOf(visit),
  });
  if (!cancelled && visit.alarmMinutesBefore !== null) {
    event.createAlarm({ type: ICalAlarmType.display, triggerBefore: visit.alarmMinutesBefore * 60, description: text(visit.summary) });
  }
  // The library leaves the last line open; every line of the standard is closed.
  return `${calendar.toString().replace(/\r\n$/, '')}\r\n`;
};

const locationOf = ({ location, place }: CalendarVisit) =>
  location === null
    ? null
    : { title: text(location), ...(place === null ? {} : { geo: { lat: place.latitude, lon: place.longitude } }) };

/** Line breaks are the only control characters a text may hold; halves of a character cannot be written at all. */
const text = (raw: string): string =>
  raw
    .replace(/\r\n?/g, '\n')
    .replace(/(?!\n)\p{Cc}/gu, ' ')
    .replace(/[\ud800-\udfff]/gu, '\ufffd');

/** A name stands between double quotes, in which RFC 5545 allows none; a caret would begin an escape of RFC 6868. */
const name = (raw: string): string => {
  const plain = text(raw)
    .replace(/["\\]/g, "'")
    .replace(/[\n^]/g, ' ')
    .trim();
  return plain === '' ? '-' : plain;
};
