import { hours } from '../time/instant.ts';
import type { Files } from './files.ts';
import type { Store } from './store.ts';
import { transact } from './transact.ts';

/** Younger files are left alone: their row may still be on its way, from here or from another process that shares the folder. */
export const SAFE_AGE = hours(1);

/** One café: files are listed before rows are read, so that a row written in between counts. */
const sweepCafe = async (store: Store, files: Files, cafe: string): Promise<number> => {
  const old = (await files.lying(cafe)).filter(({ age }) => age > SAFE_AGE);
  if (old.length === 0) return 0;
  const rows = await transact(store, [], (tx) => tx.selectFrom('kept_file').select('id').where('cafe', '=', cafe).execute());
  const named = new Set(rows.map(({ id }) => id));
  const orphans = old.filter(({ name }) => !named.has(name));
  for (const { name } of orphans) await files.drop(cafe, name);
  return orphans.length;
};

/**
 * Takes away what a crash left on disk: files that no row names, and half written ones, once they are past the safe age.
 * Only folders of cafés this database knows are looked into, for another bot may keep its files beside. Returns how many went.
 */
export const sweepFiles = async (store: Store, files: Files, stopped: () => boolean = () => false): Promise<number> => {
  const cafes = await transact(store, [], (tx) => tx.selectFrom('cafe').select('id').execute());
  let gone = 0;
  for (const { id } of cafes) {
    if (stopped()) break;
    gone += await sweepCafe(store, files, id);
  }
  return gone;
};
