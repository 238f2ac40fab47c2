import { calendarOf } from '../cafe/calendar.ts';
import { readMoney } from '../cafe/money.ts';
import { cafeById, ownersOf, techniciansOf, type Cafe, type Technician } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { caseById, type CaseRecord } from '../faults/records.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { days, hours, instant, later, type Instant } from '../time/instant.ts';
import { parseLocalDate } from '../time/local-date.ts';
import type { Words } from '../words/catalogue.ts';
import { roundOf } from './booking-state.ts';
import { nextQuiet, quietOn } from './cafe-times.ts';
import { mayDecide } from './deciding.ts';
import type { Desk } from './desk.ts';
import { needOf, troubleOf, verdictOf } from './need.ts';
import type { WorksOf } from './need.ts';
import { bookingOf, bookingOfCase, changeBooking, changeWish, isOpenRow, linkedIn, openBookings, putWish, wishOf, type BookingRecord } from './records.ts';
import { fitted, whenText, type Show } from './show.ts';
import type { Span } from './span.ts';
import { reachableOwners } from './told.ts';
import { askMessage } from './views-ask.ts';
import { whatText } from './views-what.ts';

export const WISH = 'booking.wished';
const AGAIN = 'booking.ask-again';

export type WishNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly desk: Desk;
  readonly showFor: (cafe: Cafe, now: Instant, locale?: string | null) => Show;
  readonly worksOf: (tx: Tx, technician: Technician | undefined, cafe: Cafe, now: Instant) => Promise<WorksOf>;
};

type Told = { readonly case: string; readonly by: string; readonly owner: string | null };

/** A danger suits at any hour; "any time" of a quieter trouble looks further. */
const AT_ONCE = hours(48);
const ANY_TIME = days(14);


/** Booking from a verdict: the owner says when it suits; whoever else asks has the owner asked. */
export const createWish = ({ store, words, ids, desk, showFor, worksOf }: WishNeeds) => {
  const isUrgent = (aCase: CaseRecord): boolean => verdictOf(aCase)?.kind === 'stop';

  const anywayText = async (tx: Tx, show: Show, cafe: Cafe): Promise<string | null> => {
    const agreed = (await openBookings(tx, cafe.id)).find(({ starts_at }) => starts_at !== null);
    const technician = agreed && (await techniciansOf(tx, cafe.id)).find(({ id }) => id === agreed.technician);
    return agreed?.starts_at && technician ? show.say('booking.ask.anyway', { name: technician.name, when: whenText(instant(agreed.starts_at), show) }) : null;
  };

  /** When whoever is asked first works; undefined: nobody is linked. */
  const worksOfFirst = async (tx: Tx, cafe: Cafe, technicians: readonly Technician[], now: Instant): Promise<readonly Span[] | undefined> => {
    const [first] = linkedIn(technicians);
    return first && (await worksOf(tx, first, cafe, now))(first);
  };

  const draw = async (tx: Tx, show: Show, aCase: CaseRecord, cafe: Cafe, money: boolean, wishedBy: string | null): Promise<Message> => {
    const technicians = await techniciansOf(tx, cafe.id);
    const named = linkedIn(technicians)[0] ?? technicians[0];
    const { callOut } = readMoney(cafe.money);
    return askMessage(show, {
      caseId: aCase.id, what: aCase.symptom === null ? show.say('ask.case.unnamed') : whatText(show.say, `symptom.${aCase.symptom}`, aCase.group_number), technician: named?.name ?? null, wishedBy,
      fee: !money || callOut === undefined || cafe.currency === null ? null : { amount: callOut, currency: cafe.currency },
      quiet: nextQuiet(calendarOf(cafe), cafe.zone, show.now, 2, await worksOfFirst(tx, cafe, technicians, show.now)), urgent: isUrgent(aCase), anyway: await anywayText(tx, show, cafe),
    });
  };

  /** How a booking of this case stands already; undefined when none goes on. */
  const standing = async (tx: Tx, show: Show, aCase: CaseRecord): Promise<Message | undefined> => {
    const row = await bookingOfCase(tx, aCase.id);
    if (!row || !isOpenRow(row)) return undefined;
    const name = (await techniciansOf(tx, row.cafe)).find(({ id }) => id === row.technician)?.name ?? show.say('booking.somebody');
    if (row.state === 'asked') return message([fitted(show.say('booking.ask.stored', { name }))]);
    return message([fitted(row.starts_at === null ? show.say('booking.ask.asked-already', { name }) : show.say('booking.c.agreed', { name, when: whenText(instant(row.starts_at), show) }))]);
  };

  const askOwners = async (tx: Tx, aCase: CaseRecord, cafe: Cafe, by: { readonly id: string; readonly name: string }, now: Instant): Promise<string | undefined> => {
    const owners = await reachableOwners(tx, cafe.id);
    if (owners.length === 0) return undefined;
    await putWish(tx, { id: ids(now), cafe: cafe.id, case_id: aCase.id, by_person: by.id, by_name: by.name, state: 'open', at: now });
    for (const owner of owners)
      await post(tx, ids, now, { key: `wish.${aCase.id}.${now}.${owner.id}`, cafe: cafe.id, place: direct(personId(owner.person)), kind: WISH, data: { case: aCase.id, by: by.name, owner: owner.id } satisfies Told, priority: isUrgent(aCase) ? 'danger' : 'visit' });
    return owners[0]?.name;
  };

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

  const suitsOf = (cafe: Cafe, dates: readonly string[], now: Instant): readonly Span[] => {
    if (dates.includes('now')) return [{ start: now, end: later(now, AT_ONCE) }];
    const found = dates.flatMap((text) => {
      const date = parseLocalDate(text);
      return date === null ? [] : quietOn(calendarOf(cafe), cafe.zone, date, now);
    });
    return found.length > 0 ? found : [{ start: now, end: later(now, ANY_TIME) }];
  };

  /** A case that comes back goes on with the booking it had, and with whoever knows it. */
  const reopened = async (tx: Tx, aCase: CaseRecord, suits: readonly Span[], now: Instant): Promise<BookingRecord | undefined> => {
    const before = await bookingOfCase(tx, aCase.id);
    if (!before) return undefined;
    const { applied, row } = await desk.applyIn(tx, before, { kind: 'reopen', why: before.state === 'finished' ? 'came back' : 'still needed', round: roundOf(bookingOf(before)) }, now);
    if (applied.kind !== 'changed') return undefined;
    await changeBooking(tx, row.id, { booking: JSON.stringify({ ...bookingOf(row), suits }) });
    return row;
  };

  const book = async ({ tx, aCase, cafe }: Found, pressed: Pressed): Promise<BookingRecord> => {
    const suits = suitsOf(cafe, pressed.press.ids.slice(1), pressed.now);
    const again = await reopened(tx, aCase, suits, pressed.now);
    if (again) return again;
    const technicians = linkedIn(await techniciansOf(tx, cafe.id));
    const works = await worksOf(tx, technicians[0], cafe, pressed.now);
    const need = await needOf(tx, await troubleOf(tx, cafe, aCase, undefined), technicians, works, pressed.now);
    return desk.open(tx, { cafe: cafe.id, caseId: aCase.id, dangerId: null, machine: aCase.machine, about: 'fault', need, suits, by: { id: pressed.by.id, name: pressed.by.name }, ...(technicians.length > 0 ? { answered: pressed.by.id } : {}) }, pressed.now);
  };

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

  const pressBook = decided(async (found, pressed) => {
    const { tx, aCase, cafe, show } = found;
    const row = await book(found, pressed);
    await settle(tx, aCase.id, 'booked', pressed);
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

  const notice: NoticeKind = {
    kind: WISH,
    show: ({ data, now }) =>
      read(store, async (tx) => {
        const told = data as Told;
        const aCase = await caseById(tx, told.case);
        const cafe = aCase && (await cafeById(tx, aCase.cafe));
        if (!aCase || !cafe) return undefined;
        const owner = (await ownersOf(tx, cafe.id)).find(({ id }) => id === told.owner);
        const show = showFor(cafe, now, owner?.language);
        const wish = await wishOf(tx, aCase.id);
        if (wish?.state === 'open' || wish?.state === 'bar') return (await standing(tx, show, aCase)) ?? draw(tx, show, aCase, cafe, told.owner !== null, told.by);
        return (await standing(tx, show, aCase)) ?? message([show.say('booking.ask.gone')]);
      }),
  };

  /** "Not now" comes round again, unless somebody is coming by then or the case is over. */
  const timer: TimerKind = {
    kind: AGAIN,
    fire: async (tx, { ref }, now) => {
      const aCase = await caseById(tx, ref);
      const cafe = aCase && (await cafeById(tx, aCase.cafe));
      const row = aCase && (await bookingOfCase(tx, aCase.id));
      if (!aCase || !cafe || aCase.closed_at !== null || (row && isOpenRow(row))) return;
      await askOwners(tx, aCase, cafe, { id: aCase.asker, name: aCase.asker_name }, now);
    },
  };

  /** The question did not arrive at an owner: the bar is asked instead, and told so. True when the notice was one of these. */
  const lost = async (tx: Tx, data: unknown, now: Instant): Promise<boolean> => {
    const told = data as Told;
    const aCase = await caseById(tx, told.case);
    const cafe = aCase && (await cafeById(tx, aCase.cafe));
    if (!aCase || !cafe || told.owner === null || (await wishOf(tx, aCase.id))?.state !== 'open') return true;
    const others = await tx.selectFrom('outbox').select('key').where('key', 'like', `wish.${aCase.id}.%`).where('state', 'in', ['ready', 'claimed', 'sent']).executeTakeFirst();
    if (others) return true;
    await changeWish(tx, aCase.id, 'bar');
    if (cafe.place !== null) await post(tx, ids, now, { key: `wish.${aCase.id}.${now}.bar`, cafe: cafe.id, place: placeId(cafe.place), kind: WISH, data: { case: aCase.id, by: told.by, owner: null } satisfies Told, priority: 'visit' });
    return true;
  };

  return { ask, presses, notices: [notice] as readonly NoticeKind[], timers: [timer] as readonly TimerKind[], lost };
};
