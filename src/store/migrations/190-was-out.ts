import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table danger add column "was_out" integer not null default 0').execute(db);
};

export const wasOut: Migration = { name: '190-was-out', up };
