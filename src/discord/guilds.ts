import type { Logger } from 'pino';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import { writeNote } from './notes.ts';

export type GuildNeeds = { readonly store: Store; readonly log: Logger; readonly onBack: (tx: Tx, cafe: string, now: Instant) => Promise<void> };

const leftKey = (cafe: string): `discord.${string}` => `discord.left.${cafe}`;

const cafesIn = async (store: Store, space: string): Promise<readonly string[]> =>
  (await read(store, (tx) => tx.selectFrom('cafe').select('id').where('space', '=', space).orderBy('id').execute())).map(({ id }) => id);

/** The bot was taken out of a server: its cafés rest, their records stay. What they were is kept, for the day it is let in again. */
export const guildLeft = async ({ store, log }: GuildNeeds, space: string, now: Instant): Promise<void> => {
  for (const cafe of await cafesIn(store, space))
    await transact(store, [cafe], async (tx) => {
      const row = await tx.selectFrom('cafe').select('state').where('id', '=', cafe).executeTakeFirst();
      if (!row || row.state === 'gone') return;
      await writeNote(tx, leftKey(cafe), row.state);
      // What waits is not sent to people who have taken the bot out.
      await tx.updateTable('outbox').set({ state: 'dropped', redraw_at: null }).where('cafe', '=', cafe).where('state', 'in', ['ready', 'claimed']).execute();
      await tx.updateTable('cafe').set((eb) => ({ state: 'gone', removed_at: now, rev: eb('rev', '+', 1) })).where('id', '=', cafe).execute();
    });
  log.info({ space }, 'the bot was removed from a server');
};

/** Let in again: cafés that ended with the removal go on as they were; one that its owner removed stays removed. */
export const guildBack = async ({ store, onBack }: GuildNeeds, space: string, now: Instant): Promise<void> => {
  for (const cafe of await cafesIn(store, space))
    await transact(store, [cafe], async (tx) => {
      const note = await tx.deleteFrom('note').where('key', '=', leftKey(cafe)).returning('value').executeTakeFirst();
      if (!note) return;
      await tx.updateTable('cafe').set((eb) => ({ state: note.value, removed_at: null, rev: eb('rev', '+', 1) })).where('id', '=', cafe).where('state', '=', 'gone').execute();
      await onBack(tx, cafe, now);
    });
};

/** Servers the bot was taken out of, or let into, while it was not running. `present` holds every server it is in now. */
export const settleGuilds = async (needs: GuildNeeds, present: ReadonlySet<string>, now: Instant): Promise<void> => {
  const rows = await read(needs.store, (tx) => tx.selectFrom('cafe').select(['space', 'state']).where('space', 'is not', null).execute());
  for (const space of new Set(rows.flatMap((row) => (row.space !== null && row.state !== 'gone' ? [row.space] : [])))) if (!present.has(space)) await guildLeft(needs, space, now);
  for (const space of new Set(rows.flatMap((row) => (row.space !== null && row.state === 'gone' ? [row.space] : [])))) if (present.has(space)) await guildBack(needs, space, now);
};
