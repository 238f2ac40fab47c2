import type { Tx } from '../store/store.ts';
import type { Say } from '../words/catalogue.ts';

/** Is the handle of this group pushed to the left to lock it? Asked of the record. */
export type ClosesLeft = (tx: Tx, machine: string, group: number) => Promise<boolean>;

/** Texts that name a side or an hour of the handle, and where the same is said for a handle pushed to the left. */
const TURNED: ReadonlyMap<string, string> = new Map(
  ['answer.handle-position.far-left', 'answer.handle-position.right', 'answer.handle-position.far-right', 'show.handle-position', 'show.handle-snug', 'show.lock-empty'].map((key) => [`faults.${key}`, `faults.turned.${key}`]),
);

/** Says sides as the person at such a group sees them; the answers mean the same to what reckons with them. */
export const turnedSay = (say: Say): Say => (key, values) => say(TURNED.get(key) ?? key, values);
