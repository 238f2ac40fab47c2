import type { Instant } from '../time/instant.ts';
import type { Ids } from './id.ts';
import type { Tx } from './store.ts';

/** Something to do at an instant. `key` makes it one of a kind: set again, it moves. */
export type Timer = { readonly key: string; readonly cafe?: string; readonly kind: string; readonly ref: string; readonly at: Instant };

const BATCH = 500;

/** Many at once: row by row costs a server a round trip each. No key twice among them. */
export const setTimers = async (tx: Tx, ids: Ids, now: Instant, timers: readonly Timer[]): Promise<void> => {
  for (let i = 0; i < timers.length; i += BATCH)
    await tx
      .insertInto('timer')
      .values(timers.slice(i, i + BATCH).map(({ key, cafe, kind, ref, at }) => ({ id: ids(now), key, cafe: cafe ?? null, kind, ref, at, active: 1 })))
      .onConflict((conflict) => conflict.column('key').doUpdateSet((eb) => ({ kind: eb.ref('excluded.kind'), ref: eb.ref('excluded.ref'), at: eb.ref('excluded.at'), active: 1 })))
      .execute();
};

export const setTimer = (tx: Tx, ids: Ids, now: Instant, timer: Timer): Promise<void> => setTimers(tx, ids, now, [timer]);

export const stopTimer = async (tx: Tx, key: string): Promise<void> => {
  await tx.updateTable('timer').set({ active: 0 }).where('key', '=', key).execute();
};
