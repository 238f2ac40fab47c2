import { mayIn } from '../cafe/rights.ts';
import type { Here } from '../cafe/subject.ts';
import { button, type Button } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Tx } from '../store/store.ts';
import { entriesOfPerson } from './records.ts';
import type { Show } from './show.ts';

type Rows = readonly (readonly Button[])[];

/** What stands below the visits: for owners their technicians and services, for technicians their own hours and links. */
export const toolsFor = (links: (tx: Tx, here: Here, cafes: readonly string[]) => Promise<Rows>) => async (tx: Tx, here: Here, cafes: readonly string[], { say }: Show): Promise<Rows> => {
  const owned: string[] = [];
  for (const cafe of cafes) if (await mayIn(tx, cafe, here.by, 'own')) owned.push(cafe);
  const [first] = owned;
  const owner = first === undefined ? [] : [[button(say('booking.button.technicians'), press('booking.technicians', first)), button(say('booking.button.services'), press('booking.services', first))]];
  const linked = (await entriesOfPerson(tx, here.by.id)).length > 0;
  // Whoever belongs to no café may be a technician with a code in hand.
  const code = !linked && cafes.length === 0 ? [[button(say('booking.button.code'), press('booking.code'))]] : [];
  const technician = linked ? [[button(say('booking.button.hours'), press('booking.hours')), button(say('booking.button.code'), press('booking.code'))]] : code;
  return [...owner, ...technician, ...(await links(tx, here, cafes))];
};
