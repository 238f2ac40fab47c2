import { calendarOf } from '../cafe/calendar.ts';
import { readMoney } from '../cafe/money.ts';
import { cafeById, ownersOf, techniciansOf, type Cafe, type Technician } from '../cafe/records.ts';
import type { NoticeKind, TimerKind } from '../cafe/subject.ts';
import { message, type Message } from '../chat/message.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { caseById, type CaseRecord } from '../faults/records.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { nextQuiet } from './cafe-times.ts';
import { verdictOf, type WorksOf } from './need.ts';
import { bookingOfCase, changeWish, isOpenRow, linkedIn, openBookings, putWish, wishOf } from './records.ts';
import { fitted, whenText, type Show } from './show.ts';
import type { Span } from './span.ts';
import { reachableOwners } from './told.ts';
import { askMessage } from './views-ask.ts';
import { whatText } from './views-what.ts';

export const WISH = 'booking.wished';
/** Timer of a case whose owner said "not now". */
export const AGAIN = 'booking.ask-again';

export type WishQuestionNeeds = {
  readonly store: Store;
  readonly ids: Ids;
  readonly showFor: (cafe: Cafe, now: Instant, locale?: string | null) => Show;
  readonly worksOf: (tx: Tx, technician: Technician | undefined, cafe: Cafe, now: Instant) => Promise<WorksOf>;
};

type Told = { readonly case: string; readonly by: string; readonly owner: string | null };

/** The question whether and when somebody should come: how it looks, whom it is put to, that it comes round again, and what if it does not arrive. */
export const createWishQuestion = ({ store, ids, showFor, worksOf }: WishQuestionNeeds) => {
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

  return { draw, standing, askOwners, notices: [notice] as readonly NoticeKind[], timers: [timer] as readonly TimerKind[], lost };
};

export type WishQuestion = ReturnType<typeof createWishQuestion>;
