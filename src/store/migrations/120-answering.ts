import { sql, type Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table cafe add column owner_place text').execute(db);
  await sql.raw('alter table cafe add column ladder text').execute(db);
  await sql.raw('alter table duty add column proof text').execute(db);
  await createTable(db, 'place_trouble', 'id! cafe! place! why! since!t tries!i');
  await createTable(db, 'correction', 'id! cafe! occurrence! was! by_person by_name! at!t');
  await createTable(db, 'done_early', 'id! cafe! duty! due_at!t by_person by_name! at!t');
  await createTable(db, 'kept_file', 'id! cafe! about! ref! shows! name! kind! size!i by_person by_name! at!t');
  await index(db, 'place_trouble_place', 'place_trouble (cafe, place)', { unique: true });
  await index(db, 'correction_occurrence', 'correction (occurrence, at)');
  await index(db, 'done_early_duty', 'done_early (duty, due_at)', { unique: true });
  await index(db, 'kept_file_ref', 'kept_file (about, ref)');
  await index(db, 'kept_file_cafe', 'kept_file (cafe)');
};

export const answering: Migration = { name: '120-answering', up };
