import type { Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await db.schema.alterTable('danger').addColumn('reckoned', 'integer', (column) => column.notNull().defaultTo(0)).execute();
};

export const reckonedDangers: Migration = { name: '140-reckoned-dangers', up };
