import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table cafe add column "list_form" text').execute(db);
};

export const form: Migration = { name: '111-form', up };
