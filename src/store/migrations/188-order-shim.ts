import { sql, type Kysely } from 'kysely';
import type { Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await sql.raw('alter table seal_order add column "shim_mm" double precision').execute(db);
  await sql.raw('alter table seal_order add column "only_shim" integer not null default 0').execute(db);
};

export const orderShim: Migration = { name: '188-order-shim', up };
