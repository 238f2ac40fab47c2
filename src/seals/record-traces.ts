import type { Trace } from '../cafe/needs.ts';

const TABLES = ['seal_fitting', 'seal_reading', 'seal_look', 'seal_plan', 'seal_order'] as const;

/** Seals a person looked at, changed or wrote down; on their wish the names go and the readings stay. */
export const sealsTrace: Trace = {
  key: 'seals.trace',
  count: async (tx, person) => {
    let sum = 0;
    for (const table of TABLES) {
      const { n } = await tx.selectFrom(table).select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow();
      sum += Number(n);
    }
    return sum;
  },
  forget: async (tx, person) => {
    for (const table of TABLES) await tx.updateTable(table).set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
  },
};
