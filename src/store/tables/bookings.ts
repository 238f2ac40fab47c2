/** A visit of a technician, from the question to its end; how it moves is `src/bookings/booking.ts`. */
export type BookingRow = {
  id: string;
  cafe: string;
  /** Null for a service that comes round: no fault is behind it. */
  case_id: string | null;
  danger_id: string | null;
  machine: string | null;
  /** fault, danger, yearly service, pressure examination. */
  about: string;
  /** State of the booking, and who holds it or is being asked. */
  state: string;
  technician: string | null;
  /** The agreed time; null without one. */
  starts_at: number | null;
  ends_at: number | null;
  level: string;
  /** A danger to people comes before one to things. */
  people: number;
  visit_by: number;
  /** The whole of `Booking`, as JSON. */
  booking: string;
  /** Messages to the café so far: only the newest carries buttons. */
  told: number;
  /** What the technician is writing at the end, as JSON; null before and after. */
  draft: string | null;
  /** What was written beside the close-out, as JSON of `bookings/report.ts`. */
  report: string;
  by_person: string | null;
  by_name: string;
  created_at: number;
  updated_at: number;
  rev: number;
};

/** A question to the owner whether to book, and who wished for it. One a case. */
export type BookingWishRow = {
  id: string;
  cafe: string;
  case_id: string;
  by_person: string;
  by_name: string;
  /** open, booked, not now, bar (no owner can be reached). */
  state: string;
  at: number;
};

export type BookingsTables = { booking: BookingRow; booking_wish: BookingWishRow };
