import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';

const keyOf = (reminder: string, n: number): string => `thanks.${reminder}.${n}`;

/** Key of the next answer to a typed "done" on this list. The café has to be held, or two would get the same one. */
export const nextThanks = async (tx: Tx, reminder: string): Promise<string> => {
  for (let n = 0; ; n++) {
    const there = await tx.selectFrom('outbox').select('id').where('key', '=', keyOf(reminder, n)).executeTakeFirst();
    if (!there) return keyOf(reminder, n);
  }
};

/** Every answer given to a typed "done" on this list tells what became of its jobs, so it has to follow them; `but` is shown already. */
export const redrawThanks = async (tx: Tx, reminder: string, now: Instant, but?: string): Promise<void> => {
  for (let n = 0; ; n++) {
    const key = keyOf(reminder, n);
    if (key !== but && (await redraw(tx, key, now)) === undefined) return;
  }
};
