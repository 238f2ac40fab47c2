import { calendarOf } from '../cafe/calendar.ts';
import { cafeById, techniciansOf, type Cafe } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { caseById, type CaseRecord } from '../faults/records.ts';
import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { hours, later } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { createBookCase } from './book-case.ts';
import { nextQuiet } from './cafe-times.ts';
import { mayDecide } from './deciding.ts';
import type { Desk } from './desk.ts';
import { changeWish, putWish, wishOf } from './records.ts';
import { fitted, whenText, type Show } from './show.ts';
import { reachableOwners } from './told.ts';
import { AGAIN, createWishQuestion, type WishQuestionNeeds } from './wish-question.ts';

export type WishNeeds = WishQuestionNeeds & { readonly words: Words; readonly desk: Desk };

/** Booking from a verdict: the owner says when it suits; whoever else asks has the owner asked. */
export const createWish = (needs: WishNeeds) => {
  const { store, words, ids, desk, showFor } = needs;
  const { draw, standing, askOwners, notices, timers, lost } = createWishQuestion(needs);
  const book = createBookCase(needs);

  type Found = { readonly tx: Tx; readonly aCase: CaseRecord; readonly cafe: Cafe; readonly show: Show };
  const within = async (pressed: Pressed, work: (found: Found) => Promise<Message>): Promise<Message> => {
    const tooOld = (): Message => message([words.in(pressed.locale)('chat.tooOld')]);
    const home = (await read(store, (tx) => caseById(tx, pressed.press.ids[0] ?? '')))?.cafe;
    if (home === undefined) return tooOld();
    return desk.holding(home, async (tx) => {
      const aCase = await caseById(tx, pressed.press.ids[0] ?? '');
      const cafe = aCase && (await cafeById(tx, aCase.cafe));
      return aCase && cafe ? work({ tx, aCase, cafe, show: showFor(cafe, pressed.now, pressed.locale) }) : tooOld();
    });
  };

  const ask = async (pressed: Pressed): Promise<Answer> => ({
    kind: 'private',
    message: await within(pressed, async ({ tx, aCase, cafe, show }) => {
      const stands = await standing(tx, show, aCase);
      if (stands) return stands;
      if (await mayDecide(tx, cafe.id, pressed, aCase.id)) return draw(tx, show, aCase, cafe, await mayIn(tx, cafe.id, pressed.by, 'own'), null);
      const owners = await reachableOwners(tx, cafe.id);
      if ((await wishOf(tx, aCase.id))?.state !== 'open') await askOwners(tx, aCase, cafe, pressed.by, pressed.now);
      return message([show.say('booking.ask.owner', { owner: owners[0]?.name ?? '' })]);
    }),
  });

  const settle = async (tx: Tx, caseId: string, state: string, pressed: Pressed): Promise<void> => {
    await changeWish(tx, caseId, state);
    await stopTimer(tx, `${AGAIN}.${caseId}`);
    const keys = await tx.selectFrom('outbox').select('key').where('key', 'like', `wish.${caseId}.%`).execute();
    for (const { key } of keys) await redraw(tx, key, pressed.now, key === pressed.shown?.key);
  };

  const decided = (work: (found: Found, pressed: Pressed) => Promise<Message>) => async (pressed: Pressed): Promise<Answer> => ({
    kind: 'redraw',
    message: await within(pressed, async (found) => {
      const stands = await standing(found.tx, found.show, found.aCase);
      if (stands) return stands;
      return (await mayDecide(found.tx, found.cafe.id, pressed, found.aCase.id)) ? work(found, pressed) : message([found.show.say('chat.ownersOnly')]);
    }),
  });

  const pressBook = decided(async ({ tx, aCase, cafe, show }, pressed) => {
    const row = await book(tx, aCase, cafe, pressed);
    // Where the bar decides because no owner can be reached, it decides on this visit to its end.
    await settle(tx, aCase.id, (await wishOf(tx, aCase.id))?.state === 'bar' ? 'bar booked' : 'booked', pressed);
    const technicians = await techniciansOf(tx, cafe.id);
    const asked = technicians.find(({ id }) => id === row.technician);
    if (asked) return message([fitted(show.say('booking.ask.stored', { name: asked.name }))]);
    const calls = technicians.slice(0, 2).map(({ name, telephone }) => (telephone === null ? show.say('booking.call.no-number', { name }) : show.say('booking.call', { name, telephone })));
    return message([show.say('booking.c.nobody'), ...(calls.length > 0 ? calls : [show.say('booking.call.nobody')])]);
  });

  const pressNotNow = decided(async ({ tx, aCase, cafe, show }, pressed) => {
    await putWish(tx, { id: ids(pressed.now), cafe: cafe.id, case_id: aCase.id, by_person: pressed.by.id, by_name: pressed.by.name, state: 'not now', at: pressed.now });
    await settle(tx, aCase.id, 'not now', pressed);
    const next = nextQuiet(calendarOf(cafe), cafe.zone, later(pressed.now, hours(12)), 1)[0]?.span.start;
    const at = next !== undefined && next > pressed.now ? next : later(pressed.now, hours(24));
    await setTimer(tx, ids, pressed.now, { key: `${AGAIN}.${aCase.id}`, cafe: cafe.id, kind: AGAIN, ref: aCase.id, at });
    return message([fitted(show.say('booking.ask.not-now', { when: whenText(at, show) }))], [button(show.say('booking.button.book-now'), press('booking.reconsider', aCase.id))]);
  });

  const cafeOfCase = async (tx: Tx, given: Press): Promise<string | undefined> => (await caseById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({ kind, ack, right: 'answer', cafe: cafeOfCase, take });
  const presses: readonly PressRoute[] = [
    route('booking.ask', ask, 'private'),
    route('booking.book', pressBook),
    route('booking.not-now', pressNotNow),
    route('booking.reconsider', decided(async ({ tx, aCase, cafe, show }, pressed) => draw(tx, show, aCase, cafe, await mayIn(tx, cafe.id, pressed.by, 'own'), null))),
  ];

  return { ask, presses, notices, timers, lost };
};
