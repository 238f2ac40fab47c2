import { cafeById } from '../cafe/records.ts';
import type { NoticeKind } from '../cafe/subject.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import type { Draw } from './draw.ts';
import { roundOf } from './booking-state.ts';
import { bookingOf, bookingOfCase, isOpenRow } from './records.ts';
import { fitted } from './show.ts';
import { visitQuestion, type VisitQuestion } from './visit-question.ts';

const STILL = 'booking.still';

/** Somebody says that it is fixed while a technician is asked or is to come: asked once whether the visit is still wanted. */
export const createStillWanted = ({ store, ids, draw }: { readonly store: Store; readonly ids: Ids; readonly draw: Draw }) => {
  const fixed = async (tx: Tx, caseId: string, now: Instant): Promise<void> => {
    const row = await bookingOfCase(tx, caseId);
    const cafe = row && (await cafeById(tx, row.cafe));
    if (!row || !cafe || cafe.place === null || !isOpenRow(row)) return;
    const round = roundOf(bookingOf(row));
    await post(tx, ids, now, { key: `${STILL}.${row.id}.${round}`, cafe: cafe.id, place: placeId(cafe.place), kind: STILL, data: { booking: row.id, round } satisfies VisitQuestion, priority: 'visit' });
  };

  const notice: NoticeKind = {
    kind: STILL,
    show: ({ data, now }) => {
      const told = data as VisitQuestion;
      return read(store, (tx) => visitQuestion(tx, draw, told, now, ({ row, show: { say }, name }) => {
        const to = (kind: string, ...more: readonly string[]) => press(kind, row.id, String(told.round), ...more);
        return message([fitted(say('booking.still.ask', { name })), say('booking.still.danger')], [button(say('booking.button.still-yes'), to('booking.off-keep', 'c')), button(say('booking.button.off'), to('booking.off-why', 'c', 'works-again'))]);
      }));
    },
  };
  return { fixed, notices: [notice] as readonly NoticeKind[] };
};
