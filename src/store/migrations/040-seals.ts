import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const fitting = `id! cafe! machine! group_number!i part! fitted_at.t met_at!t out_at.t size_mm.d outside_mm.d inside_mm.d profile material side_up shim_mm.d
  fixing why_out came_out by_person by_name! at!t superseded_by`;

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'seal_fitting', fitting);
  await createTable(db, 'seal_reading', 'id! cafe! machine! group_number!i look what! value! machine_state! by_person by_name! at!t superseded_by');
  await createTable(db, 'seal_look', 'id! cafe! machine! occurrence by_person by_name! machine_state group_number!i step! started_at!t ended_at.t');
  await createTable(db, 'seal_verdict', 'id! look! cafe! machine! group_number!i verdict! at!t superseded_by');
  await createTable(db, 'seal_plan', 'id! cafe! machine! group_number!i due_at!t state! by_person by_name! at!t');
  await index(db, 'seal_fitting_machine', 'seal_fitting (machine)');
  await index(db, 'seal_fitting_cafe', 'seal_fitting (cafe)');
  await index(db, 'seal_reading_machine', 'seal_reading (machine, at)');
  await index(db, 'seal_reading_cafe', 'seal_reading (cafe)');
  await index(db, 'seal_look_machine', 'seal_look (machine, started_at)');
  await index(db, 'seal_verdict_look', 'seal_verdict (look)');
  await index(db, 'seal_plan_machine', 'seal_plan (machine)');
};

export const seals: Migration = { name: '040-seals', up };
