import type { Tx } from '../store/store.ts';

/** Fewer visits say nothing of what is usual. Judgement, no source. */
const LEAST_VISITS = 3;
const LAST_VISITS = 9;

/** Minutes between asking and coming, in the middle of what this café has seen of faults; undefined where it has seen too little. */
export const usualDelay = async (tx: Tx, cafe: string): Promise<number | undefined> => {
  const rows = await tx
    .selectFrom('booking').select(['created_at', 'starts_at']).where('cafe', '=', cafe).where('about', '=', 'fault').where('state', '=', 'finished').where('starts_at', 'is not', null)
    .orderBy('created_at', 'desc').limit(LAST_VISITS).execute();
  const waits = rows.flatMap(({ created_at, starts_at }) => (starts_at === null ? [] : [Math.max(0, starts_at - created_at) / 60_000])).sort((a, b) => a - b);
  return waits.length < LEAST_VISITS ? undefined : waits[Math.floor(waits.length / 2)];
};

/** When a technician was last at a machine, epoch ms; null: not since it is on record. */
export const lastVisit = async (tx: Tx, machine: string): Promise<number | null> => {
  const row = await tx.selectFrom('booking').select('starts_at').where('machine', '=', machine).where('state', '=', 'finished').where('starts_at', 'is not', null).orderBy('starts_at', 'desc').limit(1).executeTakeFirst();
  return row?.starts_at ?? null;
};
