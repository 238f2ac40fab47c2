import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'seal_order', 'id! cafe! machine! group_number!i seal_since!t size_mm.d due_at!t state! by_person by_name at!t');
  await index(db, 'seal_order_cafe', 'seal_order (cafe)');
};

export const sealOrder: Migration = { name: '184-seal-order', up };
