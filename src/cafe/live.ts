import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { days, later, type Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import { plusDays } from '../time/local-date.ts';
import { calendarOf } from './calendar.ts';
import { nextOpenDate } from './hours.ts';
import { momentOn } from './hours-moments.ts';
import { cafeById, type Cafe } from './records.ts';

/** What others do when a café goes live, or when what they reckon with has changed. */
export type Follow = (tx: Tx, cafeId: string, now: Instant) => Promise<void>;

export const WEEKLY = 'cafe.weekly-question';
export const NUDGE = 'cafe.nudge';

export const weeklyKey = (cafeId: string): string => `${WEEKLY}.${cafeId}`;
export const nudgeKey = (cafeId: string): string => `${NUDGE}.${cafeId}`;

/** A quiet hour at least `inDays` days from now; the same time of day where the hours are not known. */
export const quietHour = (cafe: Cafe, now: Instant, inDays: number): Instant => {
  const calendar = calendarOf(cafe);
  const from = plusDays(dateAt(now, cafe.zone), inDays - 1);
  const date = calendar && nextOpenDate(calendar, from);
  return (calendar && date && momentOn(calendar, date, { kind: 'quiet' })) ?? later(now, days(inDays));
};

export const planWeekly = async (tx: Tx, ids: Ids, now: Instant, cafe: Cafe, inDays: number): Promise<void> =>
  setTimer(tx, ids, now, { key: weeklyKey(cafe.id), cafe: cafe.id, kind: WEEKLY, ref: cafe.id, at: quietHour(cafe, now, inDays) });

/** The set-up is over: the jobs are made, and what is not known is asked for from the day after tomorrow on. */
export const goLive = async (tx: Tx, ids: Ids, now: Instant, cafeId: string, onLive: Follow): Promise<void> => {
  await tx.updateTable('cafe').set((eb) => ({ state: 'live', step: null, pending: null, rev: eb('rev', '+', 1) })).where('id', '=', cafeId).execute();
  const cafe = await cafeById(tx, cafeId);
  if (!cafe) throw new Error(`no café ${cafeId}`);
  await stopTimer(tx, nudgeKey(cafeId));
  await planWeekly(tx, ids, now, cafe, 2);
  await onLive(tx, cafeId, now);
};
