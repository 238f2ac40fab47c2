import type { Trace } from '../cafe/needs.ts';
import { forgetDesk } from './desks.ts';
import { vanOf } from '../parts/records.ts';

/** Visits a person asked for, photos of theirs, a technician's own hours and van; on their wish the names go, the visits stay. */
export const bookingsTrace: Trace = {
  key: 'booking.trace',
  count: async (tx, person) => {
    const asked = await tx.selectFrom('booking').select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow();
    const wished = await tx.selectFrom('booking_wish').select((eb) => eb.fn.countAll<number>().as('n')).where('by_person', '=', person).executeTakeFirstOrThrow();
    const desk = await tx.selectFrom('technician_desk').select('person').where('person', '=', person).executeTakeFirst();
    const moved = await tx.selectFrom('stock_move').select('id').where('shelf', '=', vanOf(person).id).limit(1).executeTakeFirst();
    return Number(asked.n) + Number(wished.n) + (desk ? 1 : 0) + (moved ? 1 : 0);
  },
  forget: async (tx, person) => {
    await tx.updateTable('booking').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('booking_wish').set({ by_person: '', by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('booking_photo').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await tx.updateTable('stock_move').set({ by_person: null, by_name: '' }).where('by_person', '=', person).execute();
    await forgetDesk(tx, person);
    const entries = await tx.selectFrom('technician').select('id').where('person', '=', person).execute();
    for (const { id } of entries) await tx.deleteFrom('technician_road').where('technician', '=', id).execute();
  },
};
