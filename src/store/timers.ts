import type { Instant } from '../time/instant.ts';
import type { Ids } from './id.ts';
import type { Tx } from './store.ts';

/** Something to do at an instant. `key` makes it one of a kind: set again, it moves. */
export type Timer = { readonly key: string; readonly cafe?: string; readonly kind: string; readonly ref: string; readonly at: Instant };

export const setTimer = async (tx: Tx, ids: Ids, now: Instant, timer: Timer): Promise<void> => {
  await tx
    .insertInto('timer')
    .values({ id: ids(now), key: timer.key, cafe: timer.cafe ?? null, kind: timer.kind, ref: timer.ref, at: timer.at, active: 1 })
    .onConflict((conflict) => conflict.column('key').doUpdateSet({ kind: timer.kind, ref: timer.ref, at: timer.at, active: 1 }))
    .execute();
};

export const stopTimer = async (tx: Tx, key: string): Promise<void> => {
  await tx.updateTable('timer').set({ active: 0 }).where('key', '=', key).execute();
};
