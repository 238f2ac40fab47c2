import type { Trace } from '../cafe/needs.ts';

/** Cards a person did, checks they answered, and what they were shown; on their wish the names go and the work stays. */
export const cardsTrace: Trace = {
  key: 'cards.trace',
  count: async (tx, person) => {
    const runs = await tx.selectFrom('card_run').select((eb) => eb.fn.countAll<number>().as('n')).where((eb) => eb.or([eb('by_person', '=', person), eb('doer_person', '=', person)])).executeTakeFirstOrThrow();
    const shown = await tx.selectFrom('card_shown').select((eb) => eb.fn.countAll<number>().as('n')).where('person', '=', person).executeTakeFirstOrThrow();
    return Number(runs.n) + Number(shown.n);
  },
  forget: async (tx, person) => {
    await tx.updateTable('card_run').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('card_run').set({ doer_person: null, doer_name: '' }).where('doer_person', '=', person).execute();
    await tx.updateTable('card_check').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('card_shown').set({ marked_by: null, marked_name: '' }).where('marked_by', '=', person).execute();
    await tx.deleteFrom('card_shown').where('person', '=', person).execute();
  },
};
