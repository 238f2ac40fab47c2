import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table outbox add column "shown_look" text').execute(db);
};

export const shownLook: Migration = { name: '181-shown-look', up };
