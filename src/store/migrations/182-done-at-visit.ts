import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'done_at_visit', 'id! cafe! visit! duty! at!t');
  await index(db, 'done_at_visit_duty', 'done_at_visit (duty, at)');
};

export const doneAtVisit: Migration = { name: '182-done-at-visit', up };
