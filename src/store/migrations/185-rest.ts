import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table cafe add column "paused_at" bigint').execute(db);
  await sql.raw('alter table cafe add column "resumed_at" bigint').execute(db);
};

export const rest: Migration = { name: '185-rest', up };
