import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const run = `id! cafe! machine! group_number.i job! for_job! case_id place! by_person by_name! doer_person doer_name! state! screen!i go_to.i
  assured_part.i assured_by assured_at.t apart!f residue!f result answer shape! started_at!t touched_at!t ended_at.t`;

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'card_run', run);
  await createTable(db, 'card_check', 'id! run! cafe! job! machine! group_number.i asked_when! answer! leads! by_person by_name! at!t');
  await createTable(db, 'card_shown', 'id! cafe! job! person name! how! marked_by marked_name! at!t');
  await index(db, 'card_run_open', 'card_run (cafe)', { where: "state != 'ended'" });
  await index(db, 'card_run_apart', 'card_run (machine)', { where: 'apart = 1' });
  await index(db, 'card_check_run', 'card_check (run, asked_when)', { unique: true });
  await index(db, 'card_shown_job', 'card_shown (cafe, job)');
};

export const cards: Migration = { name: '010-cards', up };
