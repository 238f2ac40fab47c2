import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'bar_seen', 'cafe! person! at!t', 'cafe, person');
  await index(db, 'bar_seen_person', 'bar_seen (person)');
};

export const barSeen: Migration = { name: '183-bar-seen', up };
