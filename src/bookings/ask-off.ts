import { cafeById } from '../cafe/records.ts';
import type { Here, NoticeKind } from '../cafe/subject.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, personId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import { roundOf } from './booking-state.ts';
import type { Draw } from './draw.ts';
import { bookingOf, isOpenRow, type BookingRecord } from './records.ts';
import { fitted, whenText } from './show.ts';
import { reachableOwners } from './told.ts';
import { visitQuestion, type VisitQuestion } from './visit-question.ts';

const ASK_OFF = 'booking.ask-off';
type Told = Required<VisitQuestion> & { readonly by: string };

/** Somebody at the bar wants a visit called off: whoever decides is asked, directly and once. */
export const createAskOff = ({ store, ids, draw }: { readonly store: Store; readonly ids: Ids; readonly draw: Draw }) => {
  /** What the presser reads; undefined: no owner can be written to. */
  const ask = async (tx: Tx, row: BookingRecord, { by, now, locale }: Here): Promise<Message | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    const owners = await reachableOwners(tx, row.cafe);
    const [first] = owners;
    if (!cafe || !first || !isOpenRow(row)) return undefined;
    const round = roundOf(bookingOf(row));
    for (const owner of owners)
      await post(tx, ids, now, { key: `${ASK_OFF}.${row.id}.${round}.${owner.id}`, cafe: row.cafe, place: direct(personId(owner.person)), kind: ASK_OFF, data: { booking: row.id, round, by: by.name, owner: owner.id } satisfies Told, priority: 'visit' });
    return message([fitted(draw.showFor(cafe, now, locale).say('booking.ask.owner', { owner: first.name }))]);
  };

  const notice: NoticeKind = {
    kind: ASK_OFF,
    show: ({ data, now }) => {
      const told = data as Told;
      return read(store, (tx) => visitQuestion(tx, draw, told, now, ({ row, show, name }) => {
        const when = row.starts_at === null ? show.say('booking.ask-off.no-time', { name }) : show.say('booking.ask-off.when', { name, when: whenText(instant(row.starts_at), show) });
        const to = (kind: string) => press(kind, row.id, String(told.round), 'c');
        return message([line(fitted(show.say('booking.ask-off', { by: told.by, name })), 'strong'), fitted(when)], [button(show.say('booking.button.off'), to('booking.off')), button(show.say('booking.button.still-yes'), to('booking.off-keep'))]);
      }));
    },
  };
  return { ask, notices: [notice] as readonly NoticeKind[] };
};

export type AskOff = ReturnType<typeof createAskOff>['ask'];
