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
  /** open, booked, not now, bar (no owner can be reached), bar booked (and has booked). */
  state: string;
  at: number;
};

/** A technician's own time and place, the same for every café that has linked them. */
export type TechnicianDeskRow = {
  person: string;
  /** Hours of work and hours on call by weekday, Monday first, as JSON of `cafe/hours.ts` spans; null: not said. */
  works: string | null;
  on_call: string | null;
  /** Days off as JSON of `{ from, to }` dates, both ends included. */
  days_off: string;
  /** Where they set out from, degrees; null: not said. */
  latitude: number | null;
  longitude: number | null;
  updated_at: number;
};

/** A way to write to a technician: the firm's own place, direct messages, or the café's channel. */
export type TechnicianRoadRow = {
  id: string;
  cafe: string;
  /** Entry in the café's order of call. */
  technician: string;
  place: string;
  /** own place, direct, cafe channel. */
  kind: string;
  /** When they pressed that a message arrived there; null: not yet. */
  proved_at: number | null;
  /** When a message was last refused there, and why. */
  failed_at: number | null;
  why: string | null;
  created_at: number;
};

/** Where a café is, degrees. */
export type CafeSpotRow = { cafe: string; latitude: number; longitude: number };

/** A photo of a booking, from the bar or from the technician. */
export type BookingPhotoRow = {
  id: string;
  booking: string;
  cafe: string;
  /** plate, gauges, leak, filter label, other. */
  shows: string;
  name: string;
  kind: string;
  /** The picture itself, base64. */
  bytes: string;
  by_person: string | null;
  by_name: string;
  at: number;
};

/** A service that comes round by the calendar. */
export type ServicePlanRow = {
  id: string;
  cafe: string;
  machine: string;
  /** yearly service, pressure examination. */
  about: string;
  due_date: string;
  /** Null: the next date is asked for each time. */
  every_months: number | null;
  /** planned, asked, booked, off. */
  state: string;
  asked_at: number | null;
  booking: string | null;
  updated_at: number;
};

export type BookingsTables = {
  booking: BookingRow;
  booking_wish: BookingWishRow;
  technician_desk: TechnicianDeskRow;
  technician_road: TechnicianRoadRow;
  cafe_spot: CafeSpotRow;
  booking_photo: BookingPhotoRow;
  service_plan: ServicePlanRow;
};
