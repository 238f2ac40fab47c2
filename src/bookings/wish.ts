import { calendarOf } from '../cafe/calendar.ts';
import { readMoney } from '../cafe/money.ts';
import { cafeById, techniciansOf, type Cafe } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import type { Press } from '../chat/press.ts';
import { direct, personId } from '../chat/who.ts';
import { caseById, type CaseRecord } from '../faults/records.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { days, later, type Instant } from '../time/instant.ts';
import { nextQuiet } from './cafe-times.ts';
import type { Desk } from './desk.ts';
import { needOf, troubleOf } from './need.ts';
import { bookingOfCase, changeWish, linkedIn, OPEN_STATES, putWish, wishOf } from './records.ts';
import { fitted, type Show } from './show.ts';
import type { Span } from './span.ts';
import { reachableOwners } from './told.ts';
import { askMessage } from './views-ask.ts';
import { whatText } from './views-what.ts';

const WISH = 'booking.wished';

export type WishNeeds = { readonly store: Store; readonly ids: Ids; readonly desk: Desk; readonly showFor: (cafe: Cafe, now: Instant, locale?: string | null) => Show };

/** Booking from a verdict: the owner says when it suits; whoever else asks has the owner asked. */
export const createWish = ({ store, ids, desk, showFor }: WishNeeds): { readonly presses: readonly PressRoute[]; readonly notices: readonly NoticeKind[] } => {
  const quietOf = (cafe: Cafe, now: Instant): readonly Span[] => nextQuiet(calendarOf(cafe), cafe.zone, now, 2).map(({ span }) => span);

  const draw = async (tx: Tx, show: Show, aCase: CaseRecord, cafe: Cafe, now: Instant, wishedBy: string | null): Promise<Message> => {
    const [first] = linkedIn(await techniciansOf(tx, cafe.id));
    const named = first ?? (await techniciansOf(tx, cafe.id))[0];
    const { callOut } = readMoney(cafe.money);
    return askMessage(show, {
      caseId: aCase.id, what: whatText(show.say, `symptom.${aCase.symptom ?? ''}`, aCase.group_number), technician: named?.name ?? null,
      fee: callOut === undefined || cafe.currency === null ? null : { amount: callOut, currency: cafe.currency }, quiet: quietOf(cafe, now), wishedBy,
    });
  };

  const alreadyText = async (tx: Tx, show: Show, aCase: CaseRecord): Promise<string | undefined> => {
    const row = await bookingOfCase(tx, aCase.id);
    if (!row || !(OPEN_STATES as readonly string[]).includes(row.state)) return undefined;
    const technician = (await techniciansOf(tx, row.cafe)).find(({ id }) => id === row.technician);
    return fitted(show.say('booking.ask.asked-already', { name: technician?.name ?? show.say('booking.somebody') }));
  };

  /** The owners are asked; undefined when none of them can be written to. */
  const askOwners = async (tx: Tx, aCase: CaseRecord, cafe: Cafe, pressed: Pressed): Promise<string | undefined> => {
    const owners = await reachableOwners(tx, cafe.id);
    for (const owner of owners)
      await post(tx, ids, pressed.now, { key: `wish.${aCase.id}.${aCase.rev}.${owner.id}`, cafe: cafe.id, place: direct(personId(owner.person)), kind: WISH, data: { case: aCase.id, by: pressed.by.name }, priority: 'visit' });
    return owners[0]?.name;
  };

  const ask = async (pressed: Pressed): Promise<Answer> => {
    const caseId = pressed.press.ids[0] ?? '';
    const home = (await read(store, (tx) => caseById(tx, caseId)))?.cafe ?? '';
    return transact(store, [home], async (tx) => {
      const aCase = await caseById(tx, caseId);
      const cafe = aCase && (await cafeById(tx, aCase.cafe));
      if (!aCase || !cafe) return { kind: 'private', message: message([showlessTooOld(pressed)]) };
      const show = showFor(cafe, pressed.now, pressed.locale);
      const already = await alreadyText(tx, show, aCase);
      if (already !== undefined) return { kind: 'private', message: message([already]) };
      const owner = await mayIn(tx, cafe.id, pressed.by, 'own');
      if (!owner) {
        const name = await askOwners(tx, aCase, cafe, pressed);
        if (name !== undefined) {
          await putWish(tx, { id: ids(pressed.now), cafe: cafe.id, case_id: caseId, by_person: pressed.by.id, by_name: pressed.by.name, state: 'open', at: pressed.now });
          return { kind: 'private', message: message([show.say('booking.ask.owner', { owner: name })]) };
        }
      }
      await putWish(tx, { id: ids(pressed.now), cafe: cafe.id, case_id: caseId, by_person: pressed.by.id, by_name: pressed.by.name, state: owner ? 'open' : 'bar', at: pressed.now });
      return { kind: 'private', message: await draw(tx, show, aCase, cafe, pressed.now, null) };
    });
  };

  const showlessTooOld = (pressed: Pressed): string => showFor({ language: pressed.locale, zone: 'UTC' } as Cafe, pressed.now, pressed.locale).say('chat.tooOld');

  const suitsFor = (which: string, quiet: readonly Span[], now: Instant): readonly Span[] => {
    const one = quiet[Number(which)];
    if (which === 'either') return quiet;
    return which === 'any' || !one ? [{ start: now, end: later(now, days(14)) }] : [one];
  };

  const decide = async (pressed: Pressed): Promise<Answer> => {
    const [caseId = '', which = ''] = pressed.press.ids;
    const home = (await read(store, (tx) => caseById(tx, caseId)))?.cafe ?? '';
    return transact(store, [home], async (tx) => {
      const aCase = await caseById(tx, caseId);
      const cafe = aCase && (await cafeById(tx, aCase.cafe));
      const wish = await wishOf(tx, caseId);
      if (!aCase || !cafe) return { kind: 'redraw', message: message([showlessTooOld(pressed)]) };
      const show = showFor(cafe, pressed.now, pressed.locale);
      if (!(await mayIn(tx, cafe.id, pressed.by, 'own')) && wish?.state !== 'bar') return { kind: 'private', message: message([show.say('chat.ownersOnly')]) };
      const already = await alreadyText(tx, show, aCase);
      if (already !== undefined) return { kind: 'redraw', message: message([already]) };
      if (which === 'not-now') {
        await changeWish(tx, caseId, 'not now');
        return { kind: 'redraw', message: message([show.say('booking.ask.not-now')]) };
      }
      const technicians = linkedIn(await techniciansOf(tx, cafe.id));
      const trouble = await troubleOf(tx, cafe, aCase, undefined);
      const need = await needOf(tx, trouble, technicians, () => undefined, pressed.now);
      const row = await desk.open(tx, { cafe: cafe.id, caseId, dangerId: null, machine: aCase.machine, about: 'fault', need, suits: suitsFor(which, quietOf(cafe, pressed.now), pressed.now), by: { id: pressed.by.id, name: pressed.by.name }, ...(technicians.length > 0 ? { answered: pressed.by.id } : {}) }, pressed.now);
      await changeWish(tx, caseId, 'booked');
      const asked = technicians.find(({ id }) => id === row.technician);
      return { kind: 'redraw', message: message([asked ? fitted(show.say('booking.ask.stored', { name: asked.name })) : show.say('booking.c.nobody')]) };
    });
  };

  const cafeOfCase = async (tx: Tx, given: Press): Promise<string | undefined> => (await caseById(tx, given.ids[0] ?? ''))?.cafe;
  return {
    presses: [
      { kind: 'booking.ask', ack: 'private', right: 'answer', cafe: cafeOfCase, take: ask },
      { kind: 'booking.wish', ack: 'update', right: 'answer', cafe: cafeOfCase, take: decide },
    ],
    notices: [{
      kind: WISH,
      show: ({ data, now }) =>
        read(store, async (tx) => {
          const { case: caseId, by } = data as { case: string; by: string };
          const aCase = await caseById(tx, caseId);
          const cafe = aCase && (await cafeById(tx, aCase.cafe));
          return aCase && cafe && draw(tx, showFor(cafe, now), aCase, cafe, now, by);
        }),
    }],
  };
};
