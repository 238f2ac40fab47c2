import type { Store } from '../../src/store/store.ts';
import { transact } from '../../src/store/transact.ts';

const DAY = 86_400_000;

/** Somebody wrote down a seal of 8 mm, and the shim above it, that went into a group so many days ago. */
export const sealFitted = (store: Store, group: number, daysAgo: number, shimMm: number | null = null): Promise<void> =>
  transact(store, [], async (tx) => {
    const machine = await tx.selectFrom('machine').selectAll().executeTakeFirstOrThrow();
    await tx.insertInto('seal_fitting').values({ id: `f${group}`, cafe: machine.cafe, machine: machine.id, group_number: group, part: 'seal', fitted_at: machine.created_at - daysAgo * DAY, met_at: machine.created_at, size_mm: 8, shim_mm: shimMm, material: 'rubber', by_name: 'Ola', at: machine.created_at }).execute();
  });
