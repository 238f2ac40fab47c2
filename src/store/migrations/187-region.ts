import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table cafe add column "region" text').execute(db);
};

export const region: Migration = { name: '187-region', up };
