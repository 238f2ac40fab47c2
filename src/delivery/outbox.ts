import { sql, type Selectable } from 'kysely';
import { placeId, type PersonId, type PlaceId } from '../chat/who.ts';
import type { Store, Tx } from '../store/store.ts';
import type { OutboxRow } from '../store/tables/delivery.ts';
import { transact } from '../store/transact.ts';
import { later, type Instant } from '../time/instant.ts';

/** Danger and answers: somebody is waiting for them. */
const URGENT = 1;

export type Delivery = Omit<Selectable<OutboxRow>, 'place' | 'data' | 'notify'> & {
  readonly place: PlaceId;
  readonly data: unknown;
  readonly notify: { readonly people: readonly PersonId[]; readonly roles: readonly string[] };
};

const toDelivery = (row: Selectable<OutboxRow>): Delivery => ({
  ...row,
  place: placeId(row.place),
  data: JSON.parse(row.data) as unknown,
  notify: JSON.parse(row.notify) as Delivery['notify'],
});

/** So often is looked further down the queue when its head belongs to few places. */
const LOOKS = 4;

const readyRows = (tx: Tx, store: Store, now: Instant, most: number, passed: readonly string[], urgentOnly: boolean): Promise<readonly Selectable<OutboxRow>[]> => {
  let query = tx.selectFrom('outbox').selectAll().where('state', '=', sql.lit('ready')).where('not_before', '<=', now).orderBy('priority').orderBy('not_before').orderBy('id').limit(most);
  if (urgentOnly) query = query.where('priority', '<=', URGENT);
  if (passed.length > 0) query = query.where('place', 'not in', [...passed]);
  return store.claiming(query).execute();
};

/**
 * Takes up to `most` messages that are due, most urgent first; places in `busy` are passed over, and a place is taken once.
 * `urgentOnly`: danger and answers alone.
 */
export const claim = async (store: Store, now: Instant, most: number, busy: ReadonlySet<string>, urgentOnly = false): Promise<readonly Delivery[]> =>
  transact(store, [], async (tx) => {
    const taken: Selectable<OutboxRow>[] = [];
    // One place with a long queue at the head must not hide those behind it.
    for (let look = 0; look < LOOKS && taken.length < most; look++) {
      const passed = [...busy, ...taken.map(({ place }) => place)];
      const rows = await readyRows(tx, store, now, (most - taken.length) * 4, passed, urgentOnly);
      const places = new Set<string>();
      taken.push(...rows.filter((row) => !places.has(row.place) && places.add(row.place)).slice(0, most - taken.length));
      if (rows.length < (most - taken.length) * 4) break;
    }
    if (taken.length === 0) return [];
    await tx
      .updateTable('outbox')
      .set((eb) => ({ state: 'claimed', claimed_at: now, attempts: eb('attempts', '+', 1) }))
      .where('id', 'in', taken.map((row) => row.id))
      .execute();
    return taken.map(toDelivery);
  });

/** Notes, before the first attempt goes out, when it did: from here the nonce's window counts. */
export const markTrying = async (store: Store, id: string, at: Instant): Promise<void> => {
  await transact(store, [], (tx) => tx.updateTable('outbox').set({ first_try_at: at }).where('id', '=', id).execute());
};

export const markSent = async (store: Store, delivery: Delivery, messageId: string, look: string | null, at: Instant): Promise<void> => {
  await transact(store, [], (tx) =>
    tx
      .updateTable('outbox')
      .set({ state: 'sent', message_id: messageId, sent_at: at, shown_version: delivery.version, shown_look: look, claimed_at: null, trouble: null })
      .where('id', '=', delivery.id)
      .execute(),
  );
};

export const markDropped = async (store: Store, id: string): Promise<void> => {
  await transact(store, [], (tx) => tx.updateTable('outbox').set({ state: 'dropped', claimed_at: null, redraw_at: null }).where('id', '=', id).execute());
};

export const markFailed = async (tx: Tx, id: string, trouble: string): Promise<void> => {
  await tx.updateTable('outbox').set({ state: 'failed', trouble, claimed_at: null, redraw_at: null }).where('id', '=', id).execute();
};

/** Back into the queue, to be tried again at `at`. The nonce stays, so a message that did arrive is not sent twice. */
export const putBack = async (store: Store, id: string, at: Instant, trouble: string): Promise<void> => {
  await transact(store, [], (tx) => tx.updateTable('outbox').set({ state: 'ready', not_before: at, claimed_at: null, trouble }).where('id', '=', id).execute());
};

/** Not now: it waits untried until `at`. */
export const hold = async (store: Store, id: string, at: Instant): Promise<void> => {
  await transact(store, [], (tx) => tx.updateTable('outbox').set((eb) => ({ state: 'ready', not_before: at, claimed_at: null, attempts: eb('attempts', '-', 1) })).where('id', '=', id).execute());
};

/** Claims nobody is working on any more: all of them when this process is the only one, else those older than two minutes. */
export const releaseStale = async (store: Store, now: Instant, all: boolean): Promise<void> => {
  await transact(store, [], async (tx) => {
    // A change may have arrived as the process died: what these show is not known.
    await tx.updateTable('outbox').set({ shown_look: null }).where('redraw_at', 'is not', null).where('state', '=', sql.lit('sent')).execute();
    const query = tx.updateTable('outbox').set({ state: 'ready', claimed_at: null }).where('state', '=', sql.lit('claimed'));
    return (all ? query : query.where('claimed_at', '<', later(now, -120_000))).execute();
  });
};

/** Sent messages that show less than is stored. */
export const staleMessages = async (store: Store, now: Instant, most: number): Promise<readonly Delivery[]> =>
  transact(store, [], async (tx) => {
    const rows = await tx.selectFrom('outbox').selectAll().where('redraw_at', 'is not', null).where('redraw_at', '<=', now).where('state', '=', sql.lit('sent')).orderBy('redraw_at').limit(most).execute();
    return rows.map(toDelivery);
  });

/** What is shown now is `version`; a newer one stored meanwhile stays to be shown. `look`: its mark, where the shower knows it. */
export const markShown = async (store: Store, key: string, version: number, look: string | null = null): Promise<void> => {
  await transact(store, [], async (tx) => {
    await tx.updateTable('outbox').set({ shown_version: version, shown_look: look }).where('key', '=', key).where('shown_version', '<', version).execute();
    await tx.updateTable('outbox').set({ redraw_at: null }).where('key', '=', key).where('version', '<=', version).execute();
  });
};

/** Tried again at `at`, null for never. The change may have arrived though its answer did not: what is shown is then not known. */
export const postponeRedraw = async (store: Store, id: string, at: Instant | null): Promise<void> => {
  await transact(store, [], (tx) => tx.updateTable('outbox').set({ redraw_at: at, ...(at === null ? {} : { shown_look: null }) }).where('id', '=', id).execute());
};

/** The next instant at which the outbox has something to do; null when it rests. */
export const nextDelivery = async (tx: Tx): Promise<number | null> => {
  const ready = await tx.selectFrom('outbox').select((eb) => eb.fn.min('not_before').as('at')).where('state', '=', sql.lit('ready')).executeTakeFirst();
  const stale = await tx.selectFrom('outbox').select((eb) => eb.fn.min('redraw_at').as('at')).where('redraw_at', 'is not', null).where('state', '=', sql.lit('sent')).executeTakeFirst();
  const all = [ready?.at, stale?.at].flatMap((at) => (at === null || at === undefined ? [] : [Number(at)]));
  return all.length > 0 ? Math.min(...all) : null;
};
