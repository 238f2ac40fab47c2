import { calendarOf } from '../cafe/calendar.ts';
import { momentOnDay } from '../cafe/hours-moments.ts';
import { cafeById } from '../cafe/records.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { hours, later, type Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import type { JobState } from './answer.ts';
import type { Occurrence } from './records.ts';

/** What a change of a job that takes detergent means for what is drunk next: it may be in there, it is out, nothing new. */
export type ResidueTurn = 'there' | 'clear' | 'as before';

/** `notBegun`: somebody said it was never started. Said done and not yet ended counts as there: forgetting ends in a cup. */
export const residueTurn = (from: JobState, to: JobState, notBegun: boolean): ResidueTurn => {
  if (notBegun || to === 'done') return 'clear';
  if (to === 'asked' || to === 'soaking') return 'there';
  return from === 'done' && to === 'due' ? 'there' : 'as before';
};

export const residueKey = (occurrence: string): string => `routine.rinse.${occurrence}`;

/** Half an hour before the door opens next; nine hours on for a café without hours. */
const beforeOpening = async (tx: Tx, cafeId: string, now: Instant): Promise<Instant> => {
  const cafe = await cafeById(tx, cafeId);
  const calendar = cafe && calendarOf(cafe);
  if (!cafe || !calendar) return later(now, hours(9));
  const { day } = dayAt(now, cafe.zone);
  const next = [0, 1, 2, 3, 4, 5, 6, 7].map((ahead) => momentOnDay(calendar, day + ahead, { kind: 'before-opening', minutes: 30 })).find((at) => at !== null && at > now);
  return next ?? later(now, hours(9));
};

/** Has it said at the next opening that detergent may be in what this job cleans. */
export const warnAtOpening = async (tx: Tx, ids: Ids, { id, cafe }: Pick<Occurrence, 'id' | 'cafe'>, now: Instant): Promise<void> =>
  setTimer(tx, ids, now, { key: residueKey(id), cafe, kind: 'routine.rinse', ref: id, at: await beforeOpening(tx, cafe, now) });

/** Is it still to be said? */
export const mayHoldDetergent = async (tx: Tx, occurrence: string): Promise<boolean> =>
  (await tx.selectFrom('timer').select('active').where('key', '=', residueKey(occurrence)).executeTakeFirst())?.active === 1;

/** Rinsed: nothing of this duty, tonight's or an earlier one, is warned of any more. */
const clearDuty = async (tx: Tx, duty: string): Promise<void> => {
  await tx
    .updateTable('timer')
    .set({ active: 0 })
    .where('kind', '=', 'routine.rinse')
    .where('active', '=', 1)
    .where('ref', 'in', (eb) => eb.selectFrom('occurrence').select('id').where('duty', '=', duty))
    .execute();
};

/** Follows what changed on jobs that take detergent; `row` as it was before. */
export const followResidue = async (tx: Tx, ids: Ids, row: Occurrence, to: JobState, notBegun: boolean, now: Instant): Promise<void> => {
  const turn = residueTurn(row.state as JobState, to, notBegun);
  if (turn === 'there') await warnAtOpening(tx, ids, row, now);
  if (turn === 'clear') await clearDuty(tx, row.duty);
};
