import type { Selectable } from 'kysely';
import { techniciansOf, type Technician } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { BookingRow, BookingWishRow } from '../store/tables/bookings.ts';
import { instant, type Instant } from '../time/instant.ts';
import { readBooking } from './booking-read.ts';
import type { Booking, TechnicianId } from './booking-state.ts';
import type { Span } from './span.ts';

export type BookingRecord = Selectable<BookingRow>;
export type WishRecord = Selectable<BookingWishRow>;

/** States in which a booking still goes on. */
export const OPEN_STATES = ['asked', 'taken', 'time agreed', 'on the way', 'here', 'waiting for a part'] as const;

/** Not at its end: somebody is asked, is to come, or is there. */
export const isOpenRow = ({ state }: Pick<BookingRecord, 'state'>): boolean => (OPEN_STATES as readonly string[]).includes(state);

export const bookingOf = (row: Pick<BookingRecord, 'booking'>): Booking => readBooking(row.booking);

/** What stands in columns of its own, so that it can be looked for. */
export const columnsOf = (booking: Booking): Pick<BookingRecord, 'state' | 'technician' | 'starts_at' | 'ends_at' | 'booking'> => {
  const { state } = booking;
  const span = 'appointment' in state ? (state.appointment?.span ?? null) : null;
  return { state: state.kind, technician: 'technician' in state ? state.technician : null, starts_at: span?.start ?? null, ends_at: span?.end ?? null, booking: JSON.stringify(booking) };
};

export const bookingById = async (tx: Tx, id: string): Promise<BookingRecord | undefined> => tx.selectFrom('booking').selectAll().where('id', '=', id).executeTakeFirst();

export const insertBooking = async (tx: Tx, row: BookingRecord): Promise<void> => {
  await tx.insertInto('booking').values(row).execute();
};

export const changeBooking = async (tx: Tx, id: string, change: Partial<BookingRecord>): Promise<void> => {
  await tx.updateTable('booking').set((eb) => ({ ...change, rev: eb('rev', '+', 1) })).where('id', '=', id).execute();
};

/** How many messages the café has had of it; not a change of the booking itself. */
export const countTold = async (tx: Tx, id: string, told: number): Promise<void> => {
  await tx.updateTable('booking').set({ told }).where('id', '=', id).execute();
};

/** The newest booking of a case, whatever became of it. */
export const bookingOfCase = async (tx: Tx, caseId: string): Promise<BookingRecord | undefined> =>
  tx.selectFrom('booking').selectAll().where('case_id', '=', caseId).orderBy('created_at', 'desc').orderBy('id', 'desc').limit(1).executeTakeFirst();

export const bookingOfDanger = async (tx: Tx, dangerId: string): Promise<BookingRecord | undefined> => tx.selectFrom('booking').selectAll().where('danger_id', '=', dangerId).limit(1).executeTakeFirst();

/** Bookings of a café that still go on, those with the earliest need first. */
export const openBookings = async (tx: Tx, cafe: string): Promise<readonly BookingRecord[]> =>
  tx.selectFrom('booking').selectAll().where('cafe', '=', cafe).where('state', 'in', [...OPEN_STATES]).orderBy('visit_by').orderBy('id').execute();

/** Bookings these technicians hold or are asked about. */
export const bookingsWith = async (tx: Tx, technicians: readonly TechnicianId[]): Promise<readonly BookingRecord[]> =>
  technicians.length === 0
    ? []
    : tx.selectFrom('booking').selectAll().where('technician', 'in', [...technicians]).where('state', 'in', [...OPEN_STATES]).orderBy('visit_by').orderBy('id').execute();

/** Earlier bookings about a machine, the newest first. */
export const bookingsOfMachine = async (tx: Tx, machine: string, but: string): Promise<readonly BookingRecord[]> =>
  tx.selectFrom('booking').selectAll().where('machine', '=', machine).where('state', '=', 'finished').where('id', '!=', but).orderBy('updated_at', 'desc').limit(8).execute();

export const finishedAt = async (tx: Tx, machine: string): Promise<readonly BookingRecord[]> =>
  tx.selectFrom('booking').selectAll().where('machine', '=', machine).where('state', '=', 'finished').orderBy('updated_at', 'desc').limit(8).execute();

export const technicianById = async (tx: Tx, id: string): Promise<Technician | undefined> => tx.selectFrom('technician').selectAll().where('id', '=', id).executeTakeFirst();

/** The same person's entries in all cafés that have linked them. */
export const entriesOfPerson = async (tx: Tx, person: string): Promise<readonly Technician[]> =>
  tx.selectFrom('technician').selectAll().where('person', '=', person).where('state', '=', 'linked').orderBy('id').execute();

/** Agreed visits of this technician in all cafés, but for one booking. */
export const elsewhereOf = async (tx: Tx, technician: TechnicianId, but: string): Promise<readonly Span[]> => {
  const person = (await technicianById(tx, technician))?.person;
  const entries = person === null || person === undefined ? [technician] : (await entriesOfPerson(tx, person)).map(({ id }) => id);
  const rows = await tx.selectFrom('booking').select(['starts_at', 'ends_at']).where('technician', 'in', entries.length > 0 ? entries : [technician]).where('state', 'in', [...OPEN_STATES]).where('id', '!=', but).where('starts_at', 'is not', null).execute();
  return rows.flatMap(({ starts_at, ends_at }) => (starts_at === null || ends_at === null ? [] : [{ start: instant(starts_at), end: instant(ends_at) }]));
};

/** Cafés to hold while a booking of this café changes: all in which one of its technicians is known. */
export const cafesToHold = async (tx: Tx, cafe: string): Promise<readonly string[]> => {
  const people = (await techniciansOf(tx, cafe)).flatMap(({ person }) => (person === null ? [] : [person]));
  const rows = people.length === 0 ? [] : await tx.selectFrom('technician').select('cafe').where('person', 'in', people).where('state', '=', 'linked').execute();
  return [...new Set([cafe, ...rows.map((row) => row.cafe)])].sort();
};

export const wishOf = async (tx: Tx, caseId: string): Promise<WishRecord | undefined> => tx.selectFrom('booking_wish').selectAll().where('case_id', '=', caseId).executeTakeFirst();

export const putWish = async (tx: Tx, row: WishRecord): Promise<void> => {
  await tx
    .insertInto('booking_wish')
    .values(row)
    .onConflict((conflict) => conflict.column('case_id').doUpdateSet({ state: row.state, by_person: row.by_person, by_name: row.by_name, at: row.at }))
    .execute();
};

export const changeWish = async (tx: Tx, caseId: string, state: string): Promise<void> => {
  await tx.updateTable('booking_wish').set({ state }).where('case_id', '=', caseId).execute();
};

/** Technicians who may be asked, in the order of call. */
export const linkedIn = (technicians: readonly Technician[]): readonly Technician[] => technicians.filter(({ state }) => state === 'linked');

export const at = (ms: number): Instant => instant(ms);
