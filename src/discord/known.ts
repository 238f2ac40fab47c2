import { isDirect, type PlaceId } from '../chat/who.ts';
import type { Store } from '../store/store.ts';
import { read } from '../store/transact.ts';

/** Does a café of ours live in this channel? Elsewhere the bot listens only to what is addressed to it. */
export const isCafePlace = async (store: Store, place: PlaceId): Promise<boolean> =>
  (await read(store, (tx) => tx.selectFrom('cafe').select('id').where('place', '=', place).where('state', '!=', 'gone').executeTakeFirst())) !== undefined;

/** Is this a message we sent ourselves? */
export const isOurs = async (store: Store, place: PlaceId, message: string): Promise<boolean> =>
  (await read(store, (tx) => tx.selectFrom('outbox').select('id').where('place', '=', place).where('message_id', '=', message).executeTakeFirst())) !== undefined;

export type Shown = { readonly place: PlaceId; readonly message: string };

const DAY = 86_400_000;

/** Where something may have been said or marked while nobody listened: open lists, open questions, people lately written to. */
export const placesToRead = async (store: Store, now: number): Promise<readonly PlaceId[]> =>
  read(store, async (tx) => {
    const lists = await tx.selectFrom('reminder').innerJoin('cafe', 'cafe.id', 'reminder.cafe').select('reminder.place').distinct().where('reminder.state', '=', 'open').where('cafe.state', '!=', 'gone').limit(500).execute();
    const questions = await tx.selectFrom('dialogue').select('place').distinct().where('asked_at', '>', now - 7 * DAY).limit(500).execute();
    const written = await tx.selectFrom('outbox').select('place').distinct().where('place', 'like', 'p.%').where('sent_at', '>', now - 7 * DAY).limit(200).execute();
    return [...new Set([...lists, ...questions, ...written].map(({ place }) => place as PlaceId))].sort((a, b) => Number(isDirect(a)) - Number(isDirect(b)));
  });

/** Messages lately shown on which a mark counts. */
export const markable = async (store: Store, kinds: readonly string[], now: number): Promise<readonly Shown[]> => {
  if (kinds.length === 0) return [];
  const rows = await read(store, (tx) =>
    tx.selectFrom('outbox').select(['place', 'message_id']).where('kind', 'in', [...kinds]).where('state', '=', 'sent').where('sent_at', '>', now - 2 * DAY).orderBy('sent_at', 'desc').limit(100).execute(),
  );
  return rows.flatMap(({ place, message_id }) => (message_id === null ? [] : [{ place: place as PlaceId, message: message_id }]));
};

/** The oldest message of ours in a place on which something may still be answered: reading starts there when no mark was kept. */
export const oldestShown = async (store: Store, place: PlaceId, now: number): Promise<string | undefined> => {
  const row = await read(store, (tx) =>
    tx.selectFrom('outbox').select('message_id').where('place', '=', place).where('message_id', 'is not', null).where('sent_at', '>', now - DAY).orderBy('sent_at').limit(1).executeTakeFirst(),
  );
  return row?.message_id ?? undefined;
};

/** Has this event been taken before, in this run or an earlier one? */
export const wasTaken = async (store: Store, event: string): Promise<boolean> =>
  (await read(store, (tx) => tx.selectFrom('seen').select('id').where('id', '=', event).executeTakeFirst())) !== undefined;
