import { cafeById } from '../cafe/records.ts';
import type { PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { roundOf } from './booking-state.ts';
import type { Desk } from './desk.ts';
import { bookingById, bookingOf, technicianById } from './records.ts';
import { failRoad, placeFor, roadsOf } from './roads.ts';
import { NOTE, TECHNICIAN, tellCafe, type TechnicianTold } from './told.ts';
import { TEST, type TestTold } from './technicians.ts';
import { WISH } from './wish-question.ts';

export type Notice = { readonly kind: string; readonly key: string; readonly place: PlaceId; readonly data: unknown };

export type LostNeeds = { readonly ids: Ids; readonly desk: Desk; readonly wishLost: (tx: Tx, data: unknown, now: Instant) => Promise<boolean> };

/**
 * A message of a booking that was refused: the technician's next road is taken, and after the last one the next
 * technician is asked, or the café told to telephone. True when the notice was one of ours and is dealt with.
 */
export const createLost = ({ ids, desk, wishLost }: LostNeeds) => {
  const fallBack = async (tx: Tx, notice: Notice, told: TechnicianTold, why: string, now: Instant): Promise<boolean> => {
    const row = await bookingById(tx, told.booking);
    const entry = await technicianById(tx, told.technician);
    const cafe = row && (await cafeById(tx, row.cafe));
    if (!row || !entry || !cafe) return true;
    await failRoad(tx, ids, now, entry, cafe, notice.place, why);
    const next = await placeFor(tx, entry);
    const priority = row.level === 'danger' ? 'danger' : 'visit';
    if (next !== undefined) {
      const tried = (await roadsOf(tx, entry.id)).filter(({ failed_at }) => failed_at !== null).length;
      await post(tx, ids, now, { key: `${notice.key.replace(/-\d+$/, '')}-${tried}`, cafe: cafe.id, place: next, kind: notice.kind, data: notice.data, priority });
      return true;
    }
    const current = told.round === roundOf(bookingOf(row));
    if (current && row.state === 'asked' && row.technician === entry.id) await desk.applyIn(tx, row, { kind: 'cannot be reached', technician: entry.id, round: told.round }, now);
    else if (current && row.technician === entry.id) await tellCafe({ tx, ids, now, cafe, row }, { kind: 'unreachable', technician: entry.id }, null);
    return true;
  };

  return async (tx: Tx, notice: Notice, why: string, now: Instant): Promise<boolean> => {
    if (notice.kind === TECHNICIAN || notice.kind === NOTE) return fallBack(tx, notice, notice.data as TechnicianTold, why, now);
    if (notice.kind === WISH) return wishLost(tx, notice.data, now);
    if (notice.kind !== TEST) return false;
    const entry = await technicianById(tx, (notice.data as TestTold).technician);
    const cafe = entry && (await cafeById(tx, entry.cafe));
    if (entry && cafe) await failRoad(tx, ids, now, entry, cafe, notice.place, why);
    // The owner hears in words that this place cannot be written to.
    return false;
  };
};
