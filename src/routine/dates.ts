import type { CafeHours } from '../cafe/hours.ts';
import { machinesOf, type Cafe } from '../cafe/records.ts';
import type { Moment } from '../cafe/hours-moments.ts';
import type { Tx } from '../store/store.ts';
import { instant, type Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';
import { dateAt } from '../time/wall-time.ts';
import { dueNext, type Grounds } from './come-round.ts';
import { firstDue } from './fire.ts';
import { knownUse, readingsOf, type CounterReading } from './readings.ts';
import { dutiesOf, repeatOf, setDuty, type Duty } from './records.ts';
import type { Job, OnClosed } from './standard.ts';
import { useDay, type Counter } from './use.ts';
import { perDayOf, type Usual } from './usual.ts';

type Context = { readonly cafe: Cafe; readonly calendar: CafeHours; readonly usual: Usual; readonly readings: readonly CounterReading[]; readonly machines: number; readonly now: Instant };

/** Does this job come round by more than the calendar? */
export const isReckoned = (job: Job | undefined): boolean => job?.use !== undefined || job?.forecast !== undefined || job?.around !== undefined;

const at = (ms: number | null): Instant | null => (ms === null ? null : instant(ms));

const usedUp = (duty: Duty, { cafe, calendar, usual, readings, machines, now }: Context): LocalDate | null => {
  if (duty.use_every === null || duty.use_unit === null) return null;
  const counter = duty.use_unit as Counter;
  const known = knownUse(cafe, readings, duty.machine, machines);
  return useDay({ every: duty.use_every, since: instant(duty.last_done_at ?? duty.created_at), readings: known.readings[counter], perDay: perDayOf(counter, usual, known, calendar) }, calendar, now);
};

const startedAnew = (duty: Duty, job: Job, zone: string): Grounds['calendar'] =>
  repeatOf(job.use === undefined || duty.last_done_at === null ? duty : { ...duty, start_date: dateAt(instant(duty.last_done_at), zone) });

const groundsOf = (duty: Duty, job: Job, context: Context, nextCold: Instant | null): Grounds => ({
  moment: JSON.parse(duty.moment) as Moment,
  onClosed: duty.on_closed as OnClosed,
  // A job by use and by the calendar at the latest: the year counts from when it was last done.
  calendar: startedAnew(duty, job, context.cafe.zone),
  ...(job.use === undefined ? {} : { calendarFrom: instant(duty.last_done_at ?? duty.created_at) }),
  use: usedUp(duty, context),
  forecast: job.forecast === undefined ? null : at(duty.forecast_at),
  ...(job.around === undefined ? {} : { around: job.around, resumedAt: at(context.cafe.resumed_at) }),
  nextCold,
  firedAt: at(duty.fired_at),
  doneAt: at(duty.last_done_at),
});

/** The next date of a duty that comes round by more than the calendar. */
export const reckonedDue = (duty: Duty, job: Job, context: Context, nextCold: Instant | null): Instant | null =>
  dueNext(groundsOf(duty, job, context, nextCold), context.calendar, context.now);

const nextOf = (duty: Duty, job: Job | undefined, context: Context | undefined, nextCold: Instant | null): Instant | null => {
  if (!context || duty.active === 0) return null;
  if (job && isReckoned(job)) return reckonedDue(duty, job, context, nextCold);
  const repeat = repeatOf(duty);
  return repeat ? firstDue(repeat, context.calendar, context.now) : null;
};

/**
 * Sets the next date of every active duty anew, after hours, zone, routine, counters or forecasts changed.
 * `reckonedOnly`: those alone that come by more than the calendar, and of them none that is due and waits to be posted.
 */
export const setDates = async (tx: Tx, jobs: readonly Job[], usual: Usual, cafe: Cafe, calendar: CafeHours | null, now: Instant, reckonedOnly = false): Promise<void> => {
  const byId = new Map(jobs.map((job) => [job.id, job]));
  const duties = await dutiesOf(tx, cafe.id);
  const context = calendar && cafe.state === 'live' ? { cafe, calendar, usual, readings: await readingsOf(tx, cafe.id), machines: (await machinesOf(tx, cafe.id)).length, now } : undefined;
  const isAfterCold = ({ job }: Duty): boolean => byId.get(job)?.around === 'before-cold';
  const cold = new Map<string | null, Instant>();
  for (const duty of [...duties.filter((each) => !isAfterCold(each)), ...duties.filter(isAfterCold)]) {
    const job = byId.get(duty.job);
    const keeps = reckonedOnly && (!isReckoned(job) || (duty.next_due !== null && duty.next_due <= now));
    const due = keeps ? at(duty.next_due) : nextOf(duty, job, context, cold.get(duty.machine) ?? null);
    const before = cold.get(duty.machine);
    if (due !== null && job?.state === 'cold' && (before === undefined || due < before)) cold.set(duty.machine, due);
    if (due !== duty.next_due) await setDuty(tx, duty.id, { next_due: due });
  }
};
