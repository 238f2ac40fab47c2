import { cafeById, ownersOf, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { direct, personId, placeId, type PlaceId } from '../chat/who.ts';
import { cafeShelf, putMove, stockOn } from '../parts/records.ts';
import type { PartId } from '../parts/ledger.ts';
import { sealPart } from '../parts/seal-part.ts';
import { shimPart } from '../parts/shim-part.ts';
import { post, redraw } from '../store/post.ts';
import type { SealOrderRow } from '../store/tables/seals.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import { plusDays } from '../time/local-date.ts';
import { dateAt, instantOf, localTime } from '../time/wall-time.ts';
import { staffMayChange, type LookDesk } from './look-desk.ts';
import { unmetOf, type Unmet } from './order-unmet.ts';
import { orderMessage } from './order-view.ts';
import type { GroupNow } from './record-reckon.ts';
import { planFor } from './records.ts';
import { sealsOn } from './shelf.ts';
import { shimsOn } from './shelf-shims.ts';

/** Forecasts are read once a week: what has to be ordered before the next time is asked for now. */
const LOOK_AHEAD = days(7);
const NEXT_ASK_DAYS = 7;
const NEXT_ASK = localTime('10:00');
const AGAIN = 'seal.order-again';

type Wanted = { readonly now: GroupNow; readonly since: number; readonly due: Instant };
type Missing = Wanted & { readonly unmet: Unmet };

/** What went in is another seal than the one that was asked about. */
const sinceOf = ({ history }: GroupNow): number | undefined => {
  const seal = history.seals.findLast(({ outAt }) => outAt === null);
  return seal && (seal.fittedAt ?? seal.metAt);
};

/**
 * The seal to order: asked once for each seal, in time for the delivery, of the owners; what lies on the shelf is not
 * ordered, and a change that is planned already was spoken of.
 */
export const createOrdering = (desk: LookDesk) => {
  const { store, ids, constants } = desk.needs;

  const rowsOf = (tx: Tx, cafe: string): Promise<readonly SealOrderRow[]> => tx.selectFrom('seal_order').selectAll().where('cafe', '=', cafe).orderBy('group_number').orderBy('id').execute();

  const wantedOf = async (tx: Tx, cafe: Cafe, now: Instant): Promise<readonly Wanted[]> => {
    const known = new Set((await rowsOf(tx, cafe.id)).map((row) => row.id));
    const wanted: Wanted[] = [];
    for (const each of await desk.reckoner.groupsNow(tx, cafe, now)) {
      const since = sinceOf(each);
      const due = later(now, days(each.forecast.change.inDays));
      // Of a seal that nobody ever looked at or wrote down nothing is known but the usual life.
      const isKnown = each.history.readings.length > 0 || each.history.seals.some(({ fittedAt }) => fittedAt !== null);
      if (since === undefined || each.out || !isKnown || !staffMayChange(each.machine) || known.has(idOf(each, since))) continue;
      if (due - days(constants.change.deliveryDays) > later(now, LOOK_AHEAD) || (await planFor(tx, each.machine.id, each.group))) continue;
      wanted.push({ now: each, since, due });
    }
    return wanted;
  };

  /** Those for which the seal or its shim does not lie ready. */
  const missing = async (tx: Tx, cafe: string, wanted: readonly Wanted[]): Promise<readonly Missing[]> => {
    const unmet = unmetOf(wanted.map(({ now: { next } }) => next), await stockOn(tx, cafeShelf(cafe)));
    return wanted.flatMap((each, i) => (unmet[i] ? [{ ...each, unmet: unmet[i] }] : []));
  };

  /** Owners who agreed to be written to, each for themselves; else the owner's channel, else the café's. */
  const placesOf = async (tx: Tx, cafe: Cafe): Promise<readonly PlaceId[]> => {
    const owners = (await ownersOf(tx, cafe.id)).filter(({ direct_ok }) => direct_ok === 1).flatMap(({ person }) => (person === null ? [] : [direct(personId(person))]));
    const house = cafe.owner_place ?? cafe.place;
    return owners.length > 0 ? owners : house === null ? [] : [placeId(house)];
  };

  const ask = async (tx: Tx, cafe: Cafe, orders: readonly string[], now: Instant): Promise<void> => {
    const mark = `${orders.join(',')}.${String(now)}`;
    for (const place of await placesOf(tx, cafe)) await post(tx, ids, now, { key: keyIn(mark, place), cafe: cafe.id, place, kind: 'seal.order', data: { cafe: cafe.id, orders }, priority: 'other' });
  };

  const toOrder = async (tx: Tx, cafe: Cafe, now: Instant): Promise<void> => {
    const wanted = await missing(tx, cafe.id, await wantedOf(tx, cafe, now));
    if (wanted.length === 0) return;
    const rows = wanted.map(({ now: each, since, due, unmet }): SealOrderRow => ({ id: idOf(each, since), cafe: cafe.id, machine: each.machine.id, group_number: each.group, seal_since: since, size_mm: each.next?.sealMm ?? null, shim_mm: unmet.shimMm > 0 ? unmet.shimMm : null, only_shim: unmet.seal ? 0 : 1, due_at: due, state: 'asked', by_person: null, by_name: null, at: now }));
    await tx.insertInto('seal_order').values(rows).execute();
    await ask(tx, cafe, rows.map(({ id }) => id), now);
  };

  const draw = async (data: { readonly cafe: string; readonly orders: readonly string[] }, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, data.cafe);
      const rows = (await rowsOf(tx, data.cafe)).filter(({ id }) => data.orders.includes(id));
      if (!cafe || rows.length === 0) return undefined;
      const now = rows.map(({ at }) => instant(at)).reduce((a, b) => (a > b ? a : b));
      const groups = await desk.reckoner.groupsNow(tx, cafe, now);
      const renewed = rows.filter((row) => {
        const group = groups.find(({ machine, group: number }) => machine.id === row.machine && number === row.group_number);
        return group !== undefined && sinceOf(group) !== row.seal_since;
      });
      return orderMessage(desk.show(cafe, locale), cafe, rows, { renewed: renewed.length === rows.length, counted: sealsOn(await stockOn(tx, cafeShelf(cafe.id))) !== undefined });
    });

  /** What is on its way is written on the shelf only where such parts are counted. */
  const noteOrdered = async (tx: Tx, rows: readonly SealOrderRow[], { by, now }: Pressed): Promise<void> => {
    for (const row of rows) {
      const shelf = cafeShelf(row.cafe);
      const stock = await stockOn(tx, shelf);
      const ordered = (id: string, part: PartId) => putMove(tx, shelf, { id, shelf: shelf.id, at: now, kind: 'ordered', part, count: 1 }, by);
      if (row.size_mm !== null && row.only_shim === 0 && sealsOn(stock)) await ordered(`order.${row.id}`, sealPart(row.size_mm));
      if (row.shim_mm !== null && shimsOn(stock)) await ordered(`order.${row.id}.shim`, shimPart(row.shim_mm));
    }
  };

  const pressed = async (given: Pressed): Promise<Answer> => {
    const [cafeId = '', what = ''] = given.press.ids;
    const data = given.shown?.kind === 'seal.order' ? (given.shown.data as { readonly cafe: string; readonly orders: readonly string[] }) : undefined;
    if (!data || data.cafe !== cafeId || !['ordered', 'have', 'later'].includes(what)) return { kind: 'private', message: message([desk.needs.words.in(given.locale)('chat.tooOld')]) };
    await transact(store, [cafeId], async (tx) => {
      const rows = (await rowsOf(tx, cafeId)).filter(({ id, state }) => data.orders.includes(id) && (state === 'asked' || state === 'later'));
      if (rows.length === 0) return;
      await tx.updateTable('seal_order').set({ state: what, by_person: given.by.id, by_name: given.by.name, at: given.now }).where('id', 'in', rows.map(({ id }) => id)).execute();
      if (what === 'ordered') await noteOrdered(tx, rows, given);
      const cafe = await cafeById(tx, cafeId);
      if (what === 'later' && cafe) await setTimer(tx, ids, given.now, { key: `${AGAIN}.${rows[0]?.id ?? ''}`, cafe: cafeId, kind: AGAIN, ref: JSON.stringify(rows.map(({ id }) => id)), at: instantOf(plusDays(dateAt(given.now, cafe.zone), NEXT_ASK_DAYS), NEXT_ASK, cafe.zone) });
      // Two owners were asked: the other one's message shows it too.
      const shown = await tx.selectFrom('outbox').select(['key', 'data']).where('cafe', '=', cafeId).where('kind', '=', 'seal.order').execute();
      for (const { key, data: text } of shown) if (text === JSON.stringify(data) && key !== given.shown?.key) await redraw(tx, key, given.now);
    });
    const drawn = await draw(data, given.locale);
    return drawn ? { kind: 'redraw', message: drawn } : { kind: 'noted' };
  };

  /** Asked once more, unless a new seal went in or it was ordered meanwhile. */
  const again: TimerKind = {
    kind: AGAIN,
    fire: async (tx, { ref, cafe: cafeId }, now) => {
      const cafe = cafeId === null ? undefined : await cafeById(tx, cafeId);
      if (!cafe || cafe.state !== 'live') return;
      const wanted = JSON.parse(ref) as readonly string[];
      const groups = await desk.reckoner.groupsNow(tx, cafe, now);
      const open = (await rowsOf(tx, cafe.id)).filter((row) => wanted.includes(row.id) && row.state === 'later' && groups.some((each) => each.machine.id === row.machine && each.group === row.group_number && sinceOf(each) === row.seal_since));
      if (open.length === 0) return;
      await tx.updateTable('seal_order').set({ state: 'asked', at: now }).where('id', 'in', open.map(({ id }) => id)).execute();
      await ask(tx, cafe, open.map(({ id }) => id), now);
    },
  };

  const press: PressRoute = { kind: 'seal.order', ack: 'update', right: 'answer', cafe: async (_tx, given) => given.ids[0], take: pressed };
  const notice: NoticeKind = { kind: 'seal.order', show: ({ data }) => draw(data as { readonly cafe: string; readonly orders: readonly string[] }) };
  return { toOrder, presses: [press], notices: [notice], timers: [again] };
};

const idOf = ({ machine, group }: GroupNow, since: number): string => `${machine.id}.${String(group)}.${String(since)}`;
const keyIn = (mark: string, place: PlaceId): string => `seal.order.${mark}.${place}`;
