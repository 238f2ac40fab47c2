import { calendarOf } from '../cafe/calendar.ts';
import { afterRush } from '../cafe/hours-moments.ts';
import { cafeById } from '../cafe/records.ts';
import type { Store } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import type { Delivery } from './outbox.ts';

/** Danger, answers and visits (0 to 2) come at any time; reminders and the rest do not ring in the rush. */
const VISIT = 2;

/** The end of the rush a message of this café would ring in; undefined where it may go out. */
export const createRush = (store: Store) => async (delivery: Pick<Delivery, 'priority' | 'cafe'>, now: Instant): Promise<Instant | undefined> => {
  const { cafe: id } = delivery;
  if (delivery.priority <= VISIT || id === null) return undefined;
  const cafe = await read(store, (tx) => cafeById(tx, id));
  const calendar = cafe && cafe.rush !== null ? calendarOf(cafe) : null;
  const ends = calendar === null ? now : afterRush(calendar, now);
  return ends > now ? ends : undefined;
};
