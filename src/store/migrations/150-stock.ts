import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'stock_move', 'id! shelf! cafe person kind! part count!i undoes visit by_person by_name! at!t');
  await index(db, 'stock_move_shelf', 'stock_move (shelf, at)');
  await index(db, 'stock_move_cafe', 'stock_move (cafe)');
  await index(db, 'stock_move_visit', 'stock_move (visit)');
};

export const stock: Migration = { name: '150-stock', up };
