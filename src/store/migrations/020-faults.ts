import type { Kysely } from 'kysely';
import { createTable, index, type Migration } from '../schema.ts';

const faultCase = `id! cafe! machine! group_number.i group_asked!f step! state! symptom nearest! complaint! asker! asker_name! place! shown! readings! question
  verdict photos! opened_at!t updated_at!t closed_at.t rev!i`;
const danger = 'id! cafe! machine group_number.i kind! state! text! by_person! by_name! off_at.t off_by case_id at!t rev!i';

const up = async (db: Kysely<never>): Promise<void> => {
  await createTable(db, 'fault_case', faultCase);
  await createTable(db, 'danger', danger);
  await index(db, 'case_cafe', 'fault_case (cafe, opened_at)');
  await index(db, 'danger_cafe', 'danger (cafe, at)');
};

export const faults: Migration = { name: '020-faults', up };
