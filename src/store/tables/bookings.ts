/** Rows of src/bookings. */
export type BookingsTables = Record<never, never>;
