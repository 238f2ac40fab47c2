import type { Files } from './files.ts';
import type { Store, Tx } from './store.ts';
import { transact } from './transact.ts';
import { days, type Instant } from '../time/instant.ts';
import type { Tables } from './tables.ts';

/** How long things are kept, in milliseconds; docs/privacy.md promises these. */
export const KEPT = { gone: days(30), seen: days(14), bar: days(14), sent: days(60) } as const;

/** Tables whose rows belong to a café by their column `cafe`. A test holds this list against the database. */
export const CAFE_TABLES = ['member', 'technician', 'dialogue', 'outbox', 'timer', 'duty', 'reminder', 'occurrence', 'counter_reading', 'fault_case', 'danger', 'card_run', 'card_check', 'card_shown', 'booking', 'booking_wish', 'booking_photo', 'technician_road', 'cafe_spot', 'service_plan', 'seal_fitting', 'seal_reading', 'seal_look', 'seal_verdict', 'seal_plan', 'place_trouble', 'correction', 'done_early', 'done_at_visit', 'kept_file', 'stock_move', 'bar_seen', 'seal_order'] as const satisfies readonly (keyof Tables)[];

/** Takes everything of a café out of the database. */
export const forgetCafe = async (tx: Tx, cafe: string): Promise<void> => {
  for (const table of CAFE_TABLES) await tx.deleteFrom(table).where('cafe', '=', cafe).execute();
  const machines = await tx.selectFrom('machine').select('id').where('cafe', '=', cafe).execute();
  for (const { id } of machines) await tx.deleteFrom('machine_group').where('machine', '=', id).execute();
  await tx.deleteFrom('machine').where('cafe', '=', cafe).execute();
  await tx.deleteFrom('cafe').where('id', '=', cafe).execute();
};

const FORGOTTEN = 'files.forgotten.';

/** Files of cafés that were taken out: named in the same transaction, so that a crash in between leaves none behind. */
const forgetFiles = async (store: Store, files: Files): Promise<void> => {
  const left = await transact(store, [], (tx) => tx.selectFrom('note').select('key').where('key', 'like', `${FORGOTTEN}%`).execute());
  for (const { key } of left) {
    await files.forget(key.slice(FORGOTTEN.length));
    await transact(store, [], (tx) => tx.deleteFrom('note').where('key', '=', key).execute());
  }
};

/** What is past its time goes: cafés that removed the bot, ids of events, messages long shown. Returns how many cafés went. */
export const housekeep = async (store: Store, now: Instant, files?: Files): Promise<number> => {
  const gone = await transact(store, [], (tx) => tx.selectFrom('cafe').select('id').where('state', '=', 'gone').where('removed_at', 'is not', null).where('removed_at', '<', now - KEPT.gone).limit(20).execute());
  for (const { id } of gone) {
    await transact(store, [id], async (tx) => {
      await forgetCafe(tx, id);
      const note = { key: `${FORGOTTEN}${id}`, value: '' };
      await tx.insertInto('note').values(note).onConflict((conflict) => conflict.column('key').doNothing()).execute();
    });
  }
  if (files) await forgetFiles(store, files);
  await transact(store, [], async (tx) => {
    await tx.deleteFrom('bar_seen').where('at', '<', now - KEPT.bar).execute();
    await tx.deleteFrom('seen').where('at', '<', now - KEPT.seen).execute();
    await tx.deleteFrom('outbox').where('state', 'in', ['sent', 'dropped', 'failed']).where('redraw_at', 'is', null).where('created_at', '<', now - KEPT.sent).execute();
    await tx.deleteFrom('timer').where('active', '=', 0).where('at', '<', now - KEPT.sent).execute();
  });
  return gone.length;
};
