import { sql, type Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'counter_reading', 'id! cafe! machine counter! value!d anew!f state! by_person by_name! at!t');
  await index(db, 'counter_reading_cafe', 'counter_reading (cafe, at)');
  for (const column of ['duty add column "fired_at" bigint', 'reminder add column "form" text', 'cafe add column "holiday_rule" text', 'cafe add column "nudge_minutes" integer'])
    await sql.raw(`alter table ${column}`).execute(db);
};

export const use: Migration = { name: '110-use', up };
