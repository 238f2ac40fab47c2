import type { Selectable } from 'kysely';
import type { Cafe, Technician } from '../cafe/records.ts';
import { isDirect, placeId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { TechnicianRoadRow } from '../store/tables/bookings.ts';
import type { Instant } from '../time/instant.ts';

export type Road = Selectable<TechnicianRoadRow>;

/** The firm's own place before direct messages, the café's channel last. */
const LADDER: readonly string[] = ['own place', 'direct', 'cafe channel'];

export const kindOfRoad = (place: PlaceId, cafe: Pick<Cafe, 'place'>): string => (isDirect(place) ? 'direct' : place === cafe.place ? 'cafe channel' : 'own place');

export const roadsOf = async (tx: Tx, technician: string): Promise<readonly Road[]> => {
  const rows = await tx.selectFrom('technician_road').selectAll().where('technician', '=', technician).orderBy('created_at').orderBy('id').execute();
  return rows.toSorted((a, b) => LADDER.indexOf(a.kind) - LADDER.indexOf(b.kind));
};

/** A road is open again when its owner comes along it once more. */
export const openRoad = async (tx: Tx, ids: Ids, now: Instant, entry: Technician, cafe: Pick<Cafe, 'id' | 'place'>, place: PlaceId): Promise<void> => {
  await tx
    .insertInto('technician_road')
    .values({ id: ids(now), cafe: cafe.id, technician: entry.id, place, kind: kindOfRoad(place, cafe), proved_at: null, failed_at: null, why: null, created_at: now })
    .onConflict((conflict) => conflict.columns(['technician', 'place']).doUpdateSet({ failed_at: null, why: null }))
    .execute();
};

export const proveRoad = async (tx: Tx, technician: string, place: PlaceId, now: Instant): Promise<void> => {
  await tx.updateTable('technician_road').set({ proved_at: now, failed_at: null, why: null }).where('technician', '=', technician).where('place', '=', place).execute();
};

export const failRoad = async (tx: Tx, ids: Ids, now: Instant, entry: Technician, cafe: Pick<Cafe, 'id' | 'place'>, place: PlaceId, why: string): Promise<void> => {
  await tx
    .insertInto('technician_road')
    .values({ id: ids(now), cafe: cafe.id, technician: entry.id, place, kind: kindOfRoad(place, cafe), proved_at: null, failed_at: now, why, created_at: now })
    .onConflict((conflict) => conflict.columns(['technician', 'place']).doUpdateSet({ failed_at: now, why }))
    .execute();
};

export const closeRoads = async (tx: Tx, technician: string): Promise<void> => {
  await tx.deleteFrom('technician_road').where('technician', '=', technician).execute();
};

/** Where a linked technician is written to: the first of their places at which nothing was refused. Undefined: nowhere. */
export const placeFor = async (tx: Tx, technician: Technician): Promise<PlaceId | undefined> => {
  if (technician.state !== 'linked') return undefined;
  const roads = await roadsOf(tx, technician.id);
  const open = roads.find(({ failed_at }) => failed_at === null);
  if (open) return placeId(open.place);
  // A place from before roads were kept; one that has failed since is among them.
  return technician.place !== null && !roads.some(({ place }) => place === technician.place) ? placeId(technician.place) : undefined;
};
