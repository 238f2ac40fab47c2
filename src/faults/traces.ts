import type { Trace } from '../cafe/needs.ts';
import type { Tx } from '../store/store.ts';
import { readingsOf } from './records.ts';

const count = async (tx: Tx, person: string): Promise<number> => {
  const cases = await tx.selectFrom('fault_case').select((eb) => eb.fn.countAll<number>().as('n')).where('asker', '=', person).executeTakeFirstOrThrow();
  const dangers = await tx.selectFrom('danger').select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow();
  return Number(cases.n) + Number(dangers.n);
};

/** Questions a person asked and dangers they told of; the facts stay, the name and the words as typed go. */
export const faultsTrace: Trace = {
  key: 'ask.trace',
  count,
  forget: async (tx, person) => {
    const cases = await tx.selectFrom('fault_case').select(['id', 'asker_name', 'readings']).where('asker', '=', person).execute();
    for (const row of cases) {
      const readings = readingsOf(row).map((reading) => (reading.by === row.asker_name ? { ...reading, by: '' } : reading));
      await tx.updateTable('fault_case').set({ asker: '', asker_name: '', complaint: '', readings: JSON.stringify(readings) }).where('id', '=', row.id).execute();
    }
    await tx.updateTable('kept_file').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('danger').set({ by_person: '', by_name: '', text: '' }).where('by_person', '=', person).execute();
  },
};
