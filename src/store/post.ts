import type { Insertable } from 'kysely';
import type { Message } from '../chat/message.ts';
import type { PersonId, PlaceId } from '../chat/who.ts';
import type { Instant } from '../time/instant.ts';
import type { Ids } from './id.ts';
import type { Tx } from './store.ts';
import type { OutboxRow } from './tables/delivery.ts';

export type Priority = 'danger' | 'answer' | 'visit' | 'reminder' | 'other';
const RANK: Readonly<Record<Priority, number>> = { danger: 0, answer: 1, visit: 2, reminder: 3, other: 4 };

/** A message to be sent: `kind` and `data` say what it is about, its text is made when it is sent. `key` makes it one of a kind. */
export type Notice = {
  readonly key: string;
  readonly cafe?: string | undefined;
  readonly place: PlaceId;
  readonly kind: string;
  readonly data: unknown;
  readonly priority: Priority;
  readonly silent?: boolean;
  readonly notify?: readonly PersonId[];
  readonly notifyRoles?: readonly string[];
  readonly replyTo?: string | undefined;
  readonly notBefore?: Instant;
  readonly notAfter?: Instant;
};

const toRow = (ids: Ids, now: Instant, notice: Notice): Insertable<OutboxRow> => ({
  id: ids(now),
  key: notice.key,
  cafe: notice.cafe ?? null,
  place: notice.place,
  kind: notice.kind,
  data: JSON.stringify(notice.data),
  priority: RANK[notice.priority],
  silent: notice.silent ? 1 : 0,
  notify: JSON.stringify({ people: notice.notify ?? [], roles: notice.notifyRoles ?? [] }),
  reply_to: notice.replyTo ?? null,
  not_before: notice.notBefore ?? now,
  not_after: notice.notAfter ?? null,
  state: 'ready',
  attempts: 0,
  version: 1,
  shown_version: 0,
  shown_look: null,
  created_at: now,
});

/** Puts messages into the outbox in the same transaction as the fact that caused them. A key already there is left as it is. */
export const postAll = async (tx: Tx, ids: Ids, now: Instant, notices: readonly Notice[]): Promise<void> => {
  if (notices.length === 0) return;
  await tx
    .insertInto('outbox')
    .values(notices.map((notice) => toRow(ids, now, notice)))
    .onConflict((conflict) => conflict.column('key').doNothing())
    .execute();
};

export const post = (tx: Tx, ids: Ids, now: Instant, notice: Notice): Promise<void> => postAll(tx, ids, now, [notice]);

/** Kind of notices that carry their finished text; for words whose wording depends on nothing that may change. */
export const SAID = 'said';

/** A finished message without pictures or files. */
export const said = (message: Message): { readonly message: Message } => {
  if (message.pictures?.length || message.files?.length) throw new RangeError('a message with pictures needs a notice kind of its own');
  return { message };
};

/**
 * The message with this key has to show something new. Returns the version it should come to show.
 * `directly`: someone pressed on it and is being answered; only if that fails the sender changes it, a few seconds later.
 */
export const redraw = async (tx: Tx, key: string, now: Instant, directly = false): Promise<number | undefined> => {
  const row = await tx
    .updateTable('outbox')
    .set((eb) => ({ version: eb('version', '+', 1), redraw_at: directly ? now + 5000 : now, ...(directly ? { shown_look: null } : {}) }))
    .where('key', '=', key)
    .where('state', '!=', 'dropped')
    .returning('version')
    .executeTakeFirst();
  return row?.version;
};

/** What this message shows is no longer known: the next redraw changes it whatever it looks like. */
export const forgetLook = async (tx: Tx, key: string): Promise<void> => {
  await tx.updateTable('outbox').set({ shown_look: null }).where('key', '=', key).where('shown_look', 'is not', null).execute();
};

/** Takes back a message that has not gone out yet. True when it was still here. */
export const unpost = async (tx: Tx, key: string): Promise<boolean> => {
  const row = await tx.updateTable('outbox').set({ state: 'dropped' }).where('key', '=', key).where('state', '=', 'ready').returning('id').executeTakeFirst();
  return row !== undefined;
};
