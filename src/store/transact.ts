import { setTimeout as pause } from 'node:timers/promises';
import { refuseInside, runInside } from './guard.ts';
import type { Store, Tx } from './store.ts';

const TRIES = 6;

const withRetry = async <T>(store: Store, once: () => Promise<T>): Promise<T> => {
  for (let tries = 1; ; tries++)
    try {
      return await once();
    } catch (error) {
      if (tries >= TRIES || !store.mayRetry(error)) throw error;
      await pause(5 * 2 ** tries);
    }
};

/**
 * The one door for writing: `work` reads all it decides on and writes through the `tx` it is given, with these cafés
 * held for it alone. It may run again after a deadlock, so it does nothing but queries: no network, file or log.
 */
export const transact = async <T>(store: Store, cafes: readonly string[], work: (tx: Tx) => Promise<T>): Promise<T> => {
  refuseInside();
  return withRetry(store, () =>
    store.db.transaction().execute((tx) =>
      runInside(async () => {
        await store.lockCafes(tx, [...cafes].sort());
        return work(tx);
      }),
    ),
  );
};

/** For reading only: the same door, holding no café. */
export const read = async <T>(store: Store, work: (tx: Tx) => Promise<T>): Promise<T> => transact(store, [], work);

/** For the tick: takes those of the cafés that are free now; the others wait for the next round. `work` gets what was taken. */
export const transactFree = async <T>(store: Store, cafes: readonly string[], work: (tx: Tx, taken: readonly string[]) => Promise<T>): Promise<T> => {
  refuseInside();
  return withRetry(store, () =>
    store.db.transaction().execute((tx) => runInside(async () => work(tx, await store.lockFreeCafes(tx, [...cafes].sort())))),
  );
};
