import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const booking = `id! cafe! case_id danger_id machine about! state! technician starts_at.t ends_at.t level! people!f visit_by!t booking! told!i draft report!
  by_person by_name! created_at!t updated_at!t rev!i`;

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'booking', booking);
  await createTable(db, 'booking_wish', 'id! cafe! case_id! by_person! by_name! state! at!t');
  await index(db, 'booking_cafe', 'booking (cafe, created_at)');
  await index(db, 'booking_case', 'booking (case_id)');
  await index(db, 'booking_technician', 'booking (technician, starts_at)');
  await index(db, 'booking_wish_case', 'booking_wish (case_id)', { unique: true });
};

export const bookings: Migration = { name: '030-bookings', up };
