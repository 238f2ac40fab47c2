import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';

/** Small facts of this chat, kept over restarts; every key begins with `discord.`. */
export const noteOf = async (store: Store, key: `discord.${string}`): Promise<string | undefined> =>
  (await read(store, (tx) => tx.selectFrom('note').select('value').where('key', '=', key).executeTakeFirst()))?.value;

export const writeNote = async (tx: Tx, key: `discord.${string}`, value: string): Promise<void> => {
  await tx.insertInto('note').values({ key, value }).onConflict((conflict) => conflict.column('key').doUpdateSet({ value })).execute();
};

export const keepNote = async (store: Store, key: `discord.${string}`, value: string): Promise<void> => transact(store, [], (tx) => writeNote(tx, key, value));
