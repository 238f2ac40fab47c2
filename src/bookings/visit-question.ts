import { cafeById, ownersOf, techniciansOf, type Cafe } from '../cafe/records.ts';
import { message, type Message } from '../chat/message.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { roundOf } from './booking-state.ts';
import type { Draw } from './draw.ts';
import { bookingById, bookingOf, isOpenRow, type BookingRecord } from './records.ts';
import type { Show } from './show.ts';

/** A question about a visit as it stood then: of one round, to an owner or, without one, to the bar. */
export type VisitQuestion = { readonly booking: string; readonly round: number; readonly owner?: string };

export type AskedAbout = { readonly row: BookingRecord; readonly cafe: Cafe; readonly show: Show; /** Who is to come. */ readonly name: string };

/** The question as it is asked now; once the visit has moved on, that it is settled; undefined when there is no such visit. */
export const visitQuestion = async (tx: Tx, draw: Draw, { booking, round, owner }: VisitQuestion, now: Instant, ask: (about: AskedAbout) => Message): Promise<Message | undefined> => {
  const row = await bookingById(tx, booking);
  const cafe = row && (await cafeById(tx, row.cafe));
  if (!row || !cafe) return undefined;
  const language = owner === undefined ? undefined : (await ownersOf(tx, cafe.id)).find(({ id }) => id === owner)?.language;
  const show = draw.showFor(cafe, now, language);
  if (!isOpenRow(row) || roundOf(bookingOf(row)) !== round) return message([show.say('booking.still.settled')]);
  const name = (await techniciansOf(tx, cafe.id)).find(({ id }) => id === row.technician)?.name ?? show.say('booking.somebody');
  return ask({ row, cafe, show, name });
};
