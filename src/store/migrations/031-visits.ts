import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'technician_desk', 'person! works on_call days_off! latitude.d longitude.d updated_at!t', 'person');
  await createTable(db, 'technician_road', 'id! cafe! technician! place! kind! proved_at.t failed_at.t why created_at!t');
  await createTable(db, 'cafe_spot', 'cafe! latitude!d longitude!d', 'cafe');
  await createTable(db, 'booking_photo', 'id! booking! cafe! shows! name! kind! bytes! by_person by_name! at!t');
  await createTable(db, 'service_plan', 'id! cafe! machine! about! due_date! every_months.i state! asked_at.t booking updated_at!t');
  await index(db, 'technician_road_technician', 'technician_road (technician, place)', { unique: true });
  await index(db, 'booking_photo_booking', 'booking_photo (booking, at)');
  await index(db, 'service_plan_cafe', 'service_plan (cafe, machine, about)', { unique: true });
};

export const visits: Migration = { name: '031-visits', up };
