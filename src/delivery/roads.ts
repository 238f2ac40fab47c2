import { ownersOf, type Cafe } from '../cafe/records.ts';
import { direct, personId, placeId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import { hours, later, minutes, type Instant } from '../time/instant.ts';

/** A place that may be mended by whoever runs it: what was to go there waits, and is tried again. */
const MENDABLE: ReadonlySet<string> = new Set(['channel-gone', 'no-permission', 'archived', 'direct-closed']);
/** What could not be sent in this time is no use any more. */
const WORTH = hours(24);
const LONGEST_PAUSE = hours(1);

export const isMendable = (why: string): boolean => MENDABLE.has(why);

/** 1, 2, 4 … minutes, at most an hour. */
export const pauseBefore = (tries: number): number => Math.min(LONGEST_PAUSE, minutes(1) * 2 ** Math.min(tries, 10));

/** May it still be tried at `next`? */
export const isWorthWaiting = ({ created_at, not_after }: { readonly created_at: number; readonly not_after: number | null }, next: Instant): boolean => next <= (not_after ?? created_at + WORTH);

/**
 * Where what a café's owners have to know can be said, in the order in which it is tried: the owner's own channel, each
 * owner directly, the café's channel; never the place that is in trouble itself.
 */
export const roadsTo = async (tx: Tx, cafe: Cafe, but: PlaceId): Promise<readonly PlaceId[]> => {
  const owners = (await ownersOf(tx, cafe.id)).map(({ person }) => direct(personId(person ?? '')));
  const all = [...(cafe.owner_place === null ? [] : [placeId(cafe.owner_place)]), ...owners, ...(cafe.place === null ? [] : [placeId(cafe.place)])];
  return [...new Set(all)].filter((place) => place !== but);
};

export type Troubled = { readonly since: Instant; readonly next: Instant };

/** Notes that a place cannot be written to, and puts off everything that waits for it; with each try the pause grows. */
export const noteTrouble = async (tx: Tx, ids: Ids, cafe: string, place: PlaceId, why: string, now: Instant): Promise<Troubled> => {
  const known = await tx.selectFrom('place_trouble').selectAll().where('cafe', '=', cafe).where('place', '=', place).executeTakeFirst();
  const tries = known?.why === why ? known.tries + 1 : 0;
  const since = known?.why === why ? (known.since as Instant) : now;
  await tx
    .insertInto('place_trouble')
    .values({ id: ids(now), cafe, place, why, since, tries })
    .onConflict((conflict) => conflict.columns(['cafe', 'place']).doUpdateSet({ why, since, tries }))
    .execute();
  const next = later(now, pauseBefore(tries));
  await tx.updateTable('outbox').set({ not_before: next }).where('place', '=', place).where('state', '=', 'ready').where('not_before', '<', next).execute();
  return { since, next };
};

/** Something arrived there: what was put off may go at once. */
export const endTrouble = async (tx: Tx, place: PlaceId, now: Instant): Promise<void> => {
  const gone = await tx.deleteFrom('place_trouble').where('place', '=', place).returning('id').execute();
  if (gone.length > 0) await tx.updateTable('outbox').set({ not_before: now }).where('place', '=', place).where('state', '=', 'ready').where('trouble', 'is not', null).execute();
};
