import { sql } from 'kysely';
import { setImmediate as breathe } from 'node:timers/promises';
import type { Logger } from 'pino';
import type { TimerKind } from '../cafe/subject.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact, transactFree } from '../store/transact.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';

export const BATCH = 500;

export type TickNeeds = {
  readonly store: Store;
  readonly log: Logger;
  readonly timers: ReadonlyMap<string, TimerKind>;
  /** Posts what is due in these cafés and moves their duties on. */
  readonly fireDuties: (tx: Tx, cafes: readonly string[], now: Instant) => Promise<number>;
};

export type Tick = (now: Instant) => Promise<{ readonly fired: number }>;

const dueCafes = async (tx: Tx, now: Instant, most = BATCH): Promise<readonly string[]> => {
  const rows = await tx.selectFrom('duty').select(['next_due', 'id', 'cafe']).where('active', '=', sql.lit(1)).where('next_due', '<=', now).orderBy('next_due').orderBy('id').limit(most).execute();
  return [...new Set(rows.map((row) => row.cafe))];
};

const dueTimers = async (tx: Tx, now: Instant, most = BATCH): Promise<readonly { id: string; cafe: string | null }[]> =>
  tx.selectFrom('timer').select(['id', 'cafe']).where('active', '=', sql.lit(1)).where('at', '<=', now).orderBy('at').orderBy('id').limit(most).execute();

/** Nothing happens in a café that took the bot out; its matters wait, in case it comes back. */
const isGone = async (tx: Tx, cafe: string | null): Promise<boolean> =>
  cafe !== null && (await tx.selectFrom('cafe').select('state').where('id', '=', cafe).executeTakeFirst())?.state === 'gone';

/**
 * Does everything due at or before `now`, and nothing twice: a missed, late or doubled tick changes nothing.
 * A café that someone else is writing to is left for the next round.
 */
export const createTick = ({ store, log, timers, fireDuties }: TickNeeds): Tick => {
  const fireTimer = async (id: string, cafe: string | null, now: Instant): Promise<boolean> => {
    const cafes = cafe === null ? [] : [cafe];
    return transactFree(store, cafes, async (tx, taken) => {
      if (cafe !== null && !taken.includes(cafe)) return false;
      const row = await tx.updateTable('timer').set({ active: 0 }).where('id', '=', id).where('active', '=', sql.lit(1)).where('at', '<=', now).returningAll().executeTakeFirst();
      if (!row) return false;
      if (await isGone(tx, row.cafe)) {
        await tx.updateTable('timer').set({ active: 1, at: later(now, days(1)) }).where('id', '=', id).execute();
        return false;
      }
      const kind = timers.get(row.kind);
      if (kind) await kind.fire(tx, { key: row.key, ref: row.ref, cafe: row.cafe, at: instant(row.at) }, now);
      else log.error({ kind: row.kind }, 'a timer nobody knows');
      return true;
    });
  };

  const timersRound = async (now: Instant): Promise<number> => {
    let fired = 0;
    for (const { id, cafe } of await read(store, (tx) => dueTimers(tx, now)))
      try {
        if (await fireTimer(id, cafe, now)) fired++;
      } catch (error) {
        // One broken matter must not keep the others from their turn; it is put off, not lost.
        log.error({ err: error }, 'a timer stumbled');
        await transact(store, [], (tx) => tx.updateTable('timer').set({ at: now + 60_000, active: 1 }).where('id', '=', id).execute());
      }
    return fired;
  };

  const dutiesRound = async (now: Instant): Promise<number> => {
    const cafes = await read(store, (tx) => dueCafes(tx, now));
    if (cafes.length === 0) return 0;
    return transactFree(store, cafes, (tx, taken) => (taken.length === 0 ? Promise.resolve(0) : fireDuties(tx, taken, now)));
  };

  /** Mostly there is nothing to do: that is found out in one look. */
  const isIdle = (now: Instant): Promise<boolean> => read(store, async (tx) => (await dueTimers(tx, now, 1)).length === 0 && (await dueCafes(tx, now, 1)).length === 0);

  return async (now) => {
    let fired = 0;
    if (await isIdle(now)) return { fired };
    for (const round of [timersRound, dutiesRound])
      for (let done = await round(now); done > 0; done = await round(now)) {
        fired += done;
        await breathe();
      }
    return { fired };
  };
};

/** The next instant at which the tick has something to do; null when nothing is planned. */
export const nextTick = async (tx: Tx): Promise<number | null> => {
  const duty = await tx.selectFrom('duty').select('next_due').where('active', '=', sql.lit(1)).where('next_due', 'is not', null).orderBy('next_due').limit(1).executeTakeFirst();
  const timer = await tx.selectFrom('timer').select('at').where('active', '=', sql.lit(1)).orderBy('at').limit(1).executeTakeFirst();
  const all = [duty?.next_due, timer?.at].flatMap((at) => (at === null || at === undefined ? [] : [Number(at)]));
  return all.length > 0 ? Math.min(...all) : null;
};
