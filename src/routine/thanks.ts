import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { reminderKey } from './post-due.ts';

const thanksKey = (reminder: string, n: number): string => `thanks.${reminder}.${n}`;
const againKey = (reminder: string, n: number): string => `again.${reminder}.${n}`;
/** The messages about one job alone: what it needs beside being done. */
export const proofKey = (occurrence: string): string => `routine.proof.${occurrence}`;
export const waterKey = (occurrence: string): string => `water.${occurrence}`;

const nextOf = async (tx: Tx, keyOf: (n: number) => string): Promise<string> => {
  for (let n = 0; ; n++) {
    const there = await tx.selectFrom('outbox').select('id').where('key', '=', keyOf(n)).executeTakeFirst();
    if (!there) return keyOf(n);
  }
};

const redrawEach = async (tx: Tx, keyOf: (n: number) => string, now: Instant, but?: string): Promise<void> => {
  for (let n = 0; ; n++) {
    const key = keyOf(n);
    if (key !== but && (await redraw(tx, key, now)) === undefined) return;
  }
};

/** Key of the next answer to a typed "done" on this list. The café has to be held, or two would get the same one. */
export const nextThanks = (tx: Tx, reminder: string): Promise<string> => nextOf(tx, (n) => thanksKey(reminder, n));

/** Was this event, heard before by a process that died or by another one, already thanked for? */
export const thankedFor = async (tx: Tx, reminder: string, event: string): Promise<boolean> => {
  for (let n = 0; ; n++) {
    const row = await tx.selectFrom('outbox').select('data').where('key', '=', thanksKey(reminder, n)).executeTakeFirst();
    if (!row) return false;
    if ((JSON.parse(row.data) as { event?: string }).event === event) return true;
  }
};

/** Key of the next posting of a list that somebody put off; the café has to be held. */
export const nextAgain = (tx: Tx, reminder: string): Promise<string> => nextOf(tx, (n) => againKey(reminder, n));

/** Every answer given to a typed "done" on this list tells what became of its jobs, so it has to follow them; `but` is shown already. */
export const redrawThanks = (tx: Tx, reminder: string, now: Instant, but?: string): Promise<void> => redrawEach(tx, (n) => thanksKey(reminder, n), now, but);

/** The list, and every later posting of it; the one pressed on (`on`) is shown by the answer to the press. */
export const redrawList = async (tx: Tx, reminder: string, now: Instant, on?: string): Promise<void> => {
  const key = reminderKey(reminder);
  await redraw(tx, key, now, on === key);
  await redrawEach(tx, (n) => againKey(reminder, n), now, on);
};

/** What was asked about single jobs of a list says what became of it, too; `but` is shown already. */
export const redrawJobs = async (tx: Tx, occurrences: readonly string[], now: Instant, but?: string): Promise<void> => {
  const keys = occurrences.flatMap((id) => [proofKey(id), waterKey(id)]).filter((key) => key !== but);
  if (keys.length === 0) return;
  await tx.updateTable('outbox').set((eb) => ({ version: eb('version', '+', 1), redraw_at: now })).where('key', 'in', keys).where('state', '!=', 'dropped').execute();
};
