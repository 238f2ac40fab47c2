import type { Trace } from '../cafe/needs.ts';

/** Jobs a person marked: counted for them, and their name taken out on their wish; the jobs stay done. */
export const routineTrace: Trace = {
  key: 'routine.trace',
  count: async (tx, person) => Number((await tx.selectFrom('occurrence').select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow()).n),
  forget: async (tx, person) => {
    await tx.updateTable('occurrence').set({ by_person: null, by_name: null }).where('by_person', '=', person).execute();
  },
};
