import type { Message } from '../chat/message.ts';
import { placeId, type PersonId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Store } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';

export type Entry = { readonly id: string; readonly tag: string; readonly place: PlaceId; readonly only: PersonId | null; readonly message: Message; readonly at: Instant };

/** What the terminal has shown so far, kept in the database so that old buttons work after a restart. */
export type History = {
  /** Keeps a message; one with the same place and nonce is found again instead. */
  readonly keep: (entry: { readonly place: PlaceId; readonly only?: PersonId; readonly nonce: string; readonly message: Message; readonly at: Instant }) => Promise<{ readonly entry: Entry; readonly fresh: boolean }>;
  readonly change: (id: string, message: Message) => Promise<Entry | undefined>;
  readonly byTag: (tag: string) => Promise<Entry | undefined>;
  readonly byId: (id: string) => Promise<Entry | undefined>;
  /** The newest message that has something to choose. */
  readonly newest: (where: (entry: Entry) => boolean) => Promise<Entry | undefined>;
  readonly since: (place: PlaceId, at: Instant) => Promise<readonly Entry[]>;
};

type Row = { id: string; tag: string; place: string; only: string | null; message: string; at: number };
const toEntry = (row: Row): Entry => ({ ...row, place: placeId(row.place), only: row.only as PersonId | null, message: JSON.parse(row.message) as Message, at: row.at as Instant });

/** a … z, aa … zz, then round again: an old letter then means the newest message that has it. */
const tagOf = (count: number): string => {
  const i = count % (26 + 26 * 26);
  return i < 26 ? String.fromCharCode(97 + i) : String.fromCharCode(97 + Math.floor(i / 26) - 1) + String.fromCharCode(97 + (i % 26));
};

/** Pictures and files are bytes and stay out of the history. */
const keepable = ({ pictures: _pictures, files: _files, ...message }: Message): string => JSON.stringify(message);

export const createHistory = (store: Store, ids: Ids): History => {
  let last: Promise<unknown> = Promise.resolve();
  /** One after another: two messages kept at once would count the same and get one letter. */
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const turn = last.then(work);
    last = turn.catch(() => undefined);
    return turn;
  };

  return {
    keep: async ({ place, only, nonce, message, at }) =>
      inTurn(() => transact(store, [], async (tx) => {
        const known = await tx.selectFrom('terminal_message').selectAll().where('place', '=', place).where('nonce', '=', nonce).executeTakeFirst();
        if (known) return { entry: toEntry(known), fresh: false };
        const { count } = await tx.selectFrom('terminal_message').select((eb) => eb.fn.countAll<number>().as('count')).executeTakeFirstOrThrow();
        const row = { id: ids(at), tag: tagOf(Number(count)), place, only: only ?? null, nonce, message: keepable(message), at };
        await tx.insertInto('terminal_message').values(row).execute();
        return { entry: toEntry(row), fresh: true };
      })),
    change: async (id, message) => {
      const row = await transact(store, [], (tx) => tx.updateTable('terminal_message').set({ message: keepable(message) }).where('id', '=', id).returningAll().executeTakeFirst());
      return row && toEntry(row);
    },
    byTag: async (tag) => {
      const row = await read(store, (tx) => tx.selectFrom('terminal_message').selectAll().where('tag', '=', tag).orderBy('id', 'desc').limit(1).executeTakeFirst());
      return row && toEntry(row);
    },
    byId: async (id) => {
      const row = await read(store, (tx) => tx.selectFrom('terminal_message').selectAll().where('id', '=', id).executeTakeFirst());
      return row && toEntry(row);
    },
    newest: async (where) => {
      const rows = await read(store, (tx) => tx.selectFrom('terminal_message').selectAll().orderBy('id', 'desc').limit(60).execute());
      return rows.map(toEntry).find(where);
    },
    since: async (place, at) => {
      const rows = await read(store, (tx) => tx.selectFrom('terminal_message').selectAll().where('place', '=', place).where('at', '>=', at).orderBy('id').execute());
      return rows.map(toEntry);
    },
  };
};
