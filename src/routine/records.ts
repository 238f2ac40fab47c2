import { sql, type Insertable, type Selectable } from 'kysely';
import type { Repeat } from '../cafe/hours-due.ts';
import type { Moment } from '../cafe/hours-moments.ts';
import type { Tx } from '../store/store.ts';
import type { DutyRow, OccurrenceRow, ReminderRow } from '../store/tables/routine.ts';
import { instant, type Instant } from '../time/instant.ts';
import { localDate } from '../time/local-date.ts';
import type { Rule } from '../time/recurrence-rule.ts';
import { parseRule } from '../time/recurrence-text.ts';
import type { JobChange, JobOnList, JobState } from './answer.ts';
import type { OnClosed } from './standard.ts';

export type Duty = Selectable<DutyRow>;
export type Reminder = Selectable<ReminderRow>;
export type Occurrence = Selectable<OccurrenceRow>;

const BATCH = 500;
const rules = new Map<string, Rule>();

/** A stored rule as it is computed with; kept once read. */
export const ruleOf = (text: string): Rule => {
  const known = rules.get(text);
  if (known) return known;
  const parsed = parseRule(text);
  if (!parsed.ok) throw new Error(`a stored rule that is none: ${text}`);
  rules.set(text, parsed.rule);
  return parsed.rule;
};

const moments = new Map<string, Moment>();
const momentOf = (text: string): Moment => {
  const known = moments.get(text) ?? (JSON.parse(text) as Moment);
  moments.set(text, known);
  return known;
};

export const repeatOf = (duty: Pick<Duty, 'rrule' | 'start_date' | 'moment' | 'on_closed'>): Repeat | undefined =>
  duty.rrule === null || duty.start_date === null
    ? undefined
    : { rule: ruleOf(duty.rrule), start: localDate(duty.start_date), moment: momentOf(duty.moment), onClosed: duty.on_closed as OnClosed };

const DAILY = 'FREQ=DAILY';

/** The moment of a duty that is due by more than the calendar, on any day. */
export const anyDayOf = (duty: Pick<Duty, 'moment' | 'on_closed'>): Repeat =>
  ({ rule: ruleOf(DAILY), start: localDate('2000-01-01'), moment: momentOf(duty.moment), onClosed: duty.on_closed as OnClosed });

/** Due and active duties of these cafés. */
export const dueDuties = async (tx: Tx, cafes: readonly string[], now: Instant): Promise<readonly Duty[]> =>
  cafes.length === 0
    ? []
    : tx.selectFrom('duty').selectAll().where('cafe', 'in', [...cafes]).where('active', '=', sql.lit(1)).where('next_due', '<=', now).orderBy('next_due').orderBy('id').execute();

export const dutiesOf = async (tx: Tx, cafe: string): Promise<readonly Duty[]> => tx.selectFrom('duty').selectAll().where('cafe', '=', cafe).orderBy('id').execute();

export const dutyById = async (tx: Tx, id: string): Promise<Duty | undefined> => tx.selectFrom('duty').selectAll().where('id', '=', id).executeTakeFirst();

export const insertDuties = async (tx: Tx, rows: readonly Insertable<DutyRow>[]): Promise<void> => {
  for (let i = 0; i < rows.length; i += BATCH) await tx.insertInto('duty').values(rows.slice(i, i + BATCH)).execute();
};

/** Moves duties to their next dates: one narrow statement for many rows, since row by row, or with every column, a server takes several times as long. */
export const moveDuties = async (tx: Tx, duties: readonly Duty[]): Promise<void> => {
  for (let i = 0; i < duties.length; i += BATCH) {
    const batch = duties.slice(i, i + BATCH);
    const rows = batch.map(({ id, next_due, fired_at, rev }) => sql`(cast(${id} as text), cast(${next_due} as bigint), cast(${fired_at} as bigint), cast(${rev} as bigint))`);
    // Both databases name the columns of a list of values like this. Without the second condition the embedded one reads all duties.
    await sql`update duty set next_due = moved.column2, fired_at = moved.column3, rev = moved.column4 from (values ${sql.join(rows)}) as moved where duty.id = moved.column1 and duty.id in (${sql.join(batch.map(({ id }) => id))})`.execute(tx);
  }
};

export const setDuty = async (tx: Tx, id: string, change: Partial<Insertable<DutyRow>>): Promise<void> => {
  await tx.updateTable('duty').set(change).where('id', '=', id).execute();
};

export const insertReminders = async (tx: Tx, rows: readonly Insertable<ReminderRow>[]): Promise<void> => {
  for (let i = 0; i < rows.length; i += BATCH)
    await tx
      .insertInto('reminder')
      .values(rows.slice(i, i + BATCH))
      .onConflict((conflict) => conflict.columns(['cafe', 'place', 'due_at']).doNothing())
      .execute();
};

export const remindersAt = async (tx: Tx, cafes: readonly string[], dueAts: readonly number[]): Promise<readonly Reminder[]> =>
  cafes.length === 0 || dueAts.length === 0 ? [] : tx.selectFrom('reminder').selectAll().where('cafe', 'in', [...cafes]).where('due_at', 'in', [...dueAts]).execute();

export const insertOccurrences = async (tx: Tx, rows: readonly Insertable<OccurrenceRow>[]): Promise<void> => {
  for (let i = 0; i < rows.length; i += BATCH)
    await tx
      .insertInto('occurrence')
      .values(rows.slice(i, i + BATCH))
      .onConflict((conflict) => conflict.columns(['duty', 'due_at']).doNothing())
      .execute();
};

export const reminderById = async (tx: Tx, id: string): Promise<Reminder | undefined> => tx.selectFrom('reminder').selectAll().where('id', '=', id).executeTakeFirst();

/** In the order of the list. */
export const occurrencesOf = async (tx: Tx, reminder: string): Promise<readonly Occurrence[]> =>
  tx.selectFrom('occurrence').selectAll().where('reminder', '=', reminder).orderBy('position').orderBy('id').execute();

export const occurrenceById = async (tx: Tx, id: string): Promise<Occurrence | undefined> => tx.selectFrom('occurrence').selectAll().where('id', '=', id).executeTakeFirst();

/** Lists of these cafés that still wait for an answer, newest first. */
export const openReminders = async (tx: Tx, cafes: readonly string[]): Promise<readonly Reminder[]> =>
  cafes.length === 0 ? [] : tx.selectFrom('reminder').selectAll().where('cafe', 'in', [...cafes]).where('state', '=', 'open').orderBy('due_at', 'desc').orderBy('id', 'desc').limit(20).execute();

export const closeReminder = async (tx: Tx, id: string): Promise<void> => {
  await tx.updateTable('reminder').set({ state: 'closed' }).where('id', '=', id).execute();
};

export const reopenReminder = async (tx: Tx, id: string): Promise<void> => {
  await tx.updateTable('reminder').set({ state: 'open' }).where('id', '=', id).execute();
};

/** The last job done in these cafés. */
export const lastDone = async (tx: Tx, cafes: readonly string[]): Promise<Occurrence | undefined> =>
  cafes.length === 0 ? undefined : tx.selectFrom('occurrence').selectAll().where('cafe', 'in', [...cafes]).where('state', '=', 'done').orderBy('done_at', 'desc').limit(1).executeTakeFirst();

export const onList = (row: Occurrence, ends: boolean): JobOnList => ({
  id: row.id,
  state: row.state as JobState,
  ends,
  byName: row.by_name,
  byPerson: row.by_person,
  doneAt: row.done_at === null ? null : instant(row.done_at),
});

/** Noted with a backflush that was done without detergent. */
export const WATER_ONLY = 'water only';

/** Writes what an act changed, who said so and when. */
export const writeChanges = async (tx: Tx, changes: readonly JobChange[], by: { readonly person: string | null; readonly name: string }, now: Instant): Promise<void> => {
  for (const change of changes) {
    const back = change.to === 'due';
    await tx
      .updateTable('occurrence')
      .set((eb) => ({
        state: change.to,
        by_person: back ? null : by.person,
        by_name: back ? null : by.name,
        done_at: back ? null : now,
        reason: change.reason ?? null,
        later_until: change.until ?? null,
        rev: eb('rev', '+', 1),
      }))
      .where('id', '=', change.id)
      .execute();
    // A backflush taken back may be done with detergent the next time.
    if (back) await tx.updateTable('occurrence').set({ note: null }).where('id', '=', change.id).where('note', '=', WATER_ONLY).execute();
    if (change.to === 'done') {
      const row = await tx.selectFrom('occurrence').select('duty').where('id', '=', change.id).executeTakeFirstOrThrow();
      await tx.updateTable('duty').set({ last_done_at: now }).where('id', '=', row.duty).execute();
    }
  }
};

/** When a duty was last done, as its lists and visits tell, if ever: set anew where one of them was taken back. */
export const readLastDone = async (tx: Tx, duty: string): Promise<void> => {
  const listed = await tx.selectFrom('occurrence').select((eb) => eb.fn.max('done_at').as('at')).where('duty', '=', duty).where('state', '=', 'done').executeTakeFirstOrThrow();
  const visited = await tx.selectFrom('done_at_visit').select((eb) => eb.fn.max('at').as('at')).where('duty', '=', duty).executeTakeFirstOrThrow();
  const all = [listed.at, visited.at].flatMap((at) => (at === null ? [] : [Number(at)]));
  await tx.updateTable('duty').set({ last_done_at: all.length > 0 ? Math.max(...all) : null }).where('id', '=', duty).execute();
};
