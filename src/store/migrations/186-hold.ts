import type { Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await db.schema.alterTable('fault_case').addColumn('hold', 'integer', (column) => column.notNull().defaultTo(0)).execute();
};

export const hold: Migration = { name: '186-hold', up };
