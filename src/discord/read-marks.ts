import type { PlaceId } from '../chat/who.ts';
import type { Store } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { writeNote } from './notes.ts';
import { byAge } from './snowflake.ts';

/**
 * The newest message read in each place, kept over restarts: what is younger was said while nobody listened.
 * Between two sessions the marks stand still, since what is heard then is not all that was said.
 */
export type ReadMarks = {
  readonly note: (place: PlaceId, message: string) => void;
  readonly of: (place: PlaceId) => Promise<string | undefined>;
  readonly stand: () => void;
  /** All that was said up to now has been read. */
  readonly goOn: () => void;
  /** Writes what changed since the last time. */
  readonly keep: () => Promise<void>;
};

const keyOf = (place: PlaceId): `discord.${string}` => `discord.read.${place}`;

export const createReadMarks = (store: Store): ReadMarks => {
  const newest = new Map<PlaceId, string>();
  const ahead = new Map<PlaceId, string>();
  const dirty = new Set<PlaceId>();
  let standing = true;

  const raise = (marks: Map<PlaceId, string>, place: PlaceId, message: string): boolean => {
    const known = marks.get(place);
    if (known !== undefined && byAge(message, known) <= 0) return false;
    marks.set(place, message);
    return true;
  };
  const settle = (place: PlaceId, message: string): void => {
    if (raise(newest, place, message)) dirty.add(place);
  };

  return {
    note: (place, message) => (standing ? void raise(ahead, place, message) : settle(place, message)),
    of: async (place) => newest.get(place) ?? (await read(store, (tx) => tx.selectFrom('note').select('value').where('key', '=', keyOf(place)).executeTakeFirst()))?.value,
    stand: () => {
      standing = true;
    },
    goOn: () => {
      standing = false;
      for (const [place, message] of ahead) settle(place, message);
      ahead.clear();
    },
    keep: async () => {
      const changed = [...dirty];
      dirty.clear();
      if (changed.length === 0) return;
      await transact(store, [], async (tx) => {
        for (const place of changed) await writeNote(tx, keyOf(place), newest.get(place) ?? '0');
      });
    },
  };
};
