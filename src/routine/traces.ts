import type { Trace } from '../cafe/needs.ts';
import { wasSchema } from './correct.ts';

/** Jobs a person marked: counted for them, and their name taken out on their wish; the jobs stay done. */
export const routineTrace: Trace = {
  key: 'routine.trace',
  count: async (tx, person) => Number((await tx.selectFrom('occurrence').select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow()).n),
  forget: async (tx, person) => {
    await tx.updateTable('occurrence').set({ by_person: null, by_name: null }).where('by_person', '=', person).execute();
    await tx.updateTable('done_early').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('correction').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    for (const { id, was } of await tx.selectFrom('correction').select(['id', 'was']).where('was', 'like', `%"person":"${person}"%`).execute())
      await tx.updateTable('correction').set({ was: JSON.stringify({ ...wasSchema.parse(JSON.parse(was)), person: null, name: null }) }).where('id', '=', id).execute();
  },
};

/** Counters a person read; on their wish the name goes and the figures stay. */
export const countersTrace: Trace = {
  key: 'counters.trace',
  count: async (tx, person) => Number((await tx.selectFrom('counter_reading').select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow()).n),
  forget: async (tx, person) => {
    await tx.updateTable('counter_reading').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
  },
};
