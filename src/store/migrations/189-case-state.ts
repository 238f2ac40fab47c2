import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table fault_case add column "machine_state" text').execute(db);
};

export const caseState: Migration = { name: '189-case-state', up };
