import type { Selectable } from 'kysely';
import { quietHour } from '../cafe/live.ts';
import { cafeById, type Cafe } from '../cafe/records.ts';
import { message } from '../chat/message.ts';
import { direct, personId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, said, SAID } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import type { ServicePlanRow } from '../store/tables/bookings.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import { civilOf, dayNumberOf, fromDay, localDate, monthLength, toDay, type LocalDate } from '../time/local-date.ts';
import { dateAt, instantOf, localTime } from '../time/wall-time.ts';
import { shortDate } from '../words/format.ts';
import { bookingById, bookingOf, isOpenRow, type BookingRecord } from './records.ts';
import { readReport } from './report.ts';
import { fitted, type Show } from './show.ts';
import { reachableOwners } from './told.ts';

export type Plan = Selectable<ServicePlanRow>;

export const SERVICE = 'booking.service';

/** Assumed (common practice, no source): asked three weeks ahead, and again a week later while nobody is coming. */
export const ASKS_AHEAD = days(21);
export const ASKS_AGAIN = days(7);

/** The same day some months on; the last of the month where there is none. */
export const monthsLater = (date: LocalDate, months: number): LocalDate => {
  const { year, month, day } = civilOf(toDay(date));
  const all = year * 12 + month - 1 + months;
  const [y, m] = [Math.floor(all / 12), (all % 12) + 1];
  return fromDay(dayNumberOf(y, m, Math.min(day, monthLength(y, m))));
};

export const isGoingOn = (row: BookingRecord | undefined): boolean => row !== undefined && isOpenRow(row);

/** When a service is due, and what moves that: a visit that ended, and a technician's word. */
export const createServicePlans = ({ ids, showFor }: { readonly ids: Ids; readonly showFor: (cafe: Cafe, now: Instant, locale?: string | null) => Show }) => {
  const planById = async (tx: Tx, id: string): Promise<Plan | undefined> => tx.selectFrom('service_plan').selectAll().where('id', '=', id).executeTakeFirst();
  const plansOf = async (tx: Tx, cafe: string): Promise<readonly Plan[]> => tx.selectFrom('service_plan').selectAll().where('cafe', '=', cafe).where('state', '!=', 'off').orderBy('due_date').execute();
  const timerKey = (plan: string): string => `${SERVICE}.${plan}`;
  const dueAt = (plan: Plan, cafe: Cafe): Instant => instantOf(localDate(plan.due_date), localTime('18:00'), cafe.zone);

  const schedule = async (tx: Tx, plan: Plan, cafe: Cafe, now: Instant, earliest: Instant): Promise<void> => {
    const ahead = later(dueAt(plan, cafe), -ASKS_AHEAD);
    const from = ahead > earliest ? ahead : earliest;
    await setTimer(tx, ids, now, { key: timerKey(plan.id), cafe: cafe.id, kind: SERVICE, ref: plan.id, at: quietHour(cafe, from, 1) });
  };

  /** A service that is finished comes round again: by its months, or by the date the technician wrote. */
  const finished = async (tx: Tx, row: BookingRecord, now: Instant): Promise<void> => {
    const plan = await tx.selectFrom('service_plan').selectAll().where('booking', '=', row.id).executeTakeFirst();
    const cafe = plan && (await cafeById(tx, plan.cafe));
    const { state } = bookingOf(row);
    // Told again by a correction: what was planned since stays.
    if (!plan || !cafe || state.kind !== 'finished' || plan.state !== 'booked') return;
    const next = readReport(row.report).nextDue ?? (plan.every_months === null ? undefined : monthsLater(dateAt(instant(state.since), cafe.zone), plan.every_months));
    await tx.updateTable('service_plan').set(next === undefined ? { state: 'off', updated_at: now } : { state: 'planned', due_date: next, updated_at: now }).where('id', '=', plan.id).execute();
    const after = await planById(tx, plan.id);
    if (after && next !== undefined) await schedule(tx, after, cafe, now, later(now, ASKS_AGAIN));
    else await stopTimer(tx, timerKey(plan.id));
  };

  /** A technician wrote by when to come again: the plan of this visit, or the yearly service, is due then. Owners hear it. */
  const nextVisit = async (tx: Tx, row: BookingRecord, by: LocalDate, technician: string, now: Instant): Promise<void> => {
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe || row.machine === null) return;
    const about = row.about === 'pressure examination' ? row.about : 'yearly service';
    const fresh = { due_date: by, state: 'planned', asked_at: null, booking: null, updated_at: now };
    const before = await tx.selectFrom('service_plan').selectAll().where('cafe', '=', cafe.id).where('machine', '=', row.machine).where('about', '=', about).executeTakeFirst();
    if (before?.due_date === by && before.state === 'planned') return;
    // A visit for it that is on its way is not thrown away by a date.
    if (before?.booking != null && before.booking !== row.id && isGoingOn(await bookingById(tx, before.booking))) return;
    const plan = before?.id ?? ids(now);
    if (before) await tx.updateTable('service_plan').set(fresh).where('id', '=', plan).execute();
    else await tx.insertInto('service_plan').values({ id: plan, cafe: cafe.id, machine: row.machine, about, every_months: null, ...fresh }).execute();
    const after = await planById(tx, plan);
    if (after) await schedule(tx, after, cafe, now, now);
    for (const owner of await reachableOwners(tx, cafe.id)) {
      const show = showFor(cafe, now, owner.language);
      const text = fitted(show.say('booking.service.by-technician', { name: technician, date: shortDate(instantOf(by, localTime('18:00'), cafe.zone), show.reader) }));
      await post(tx, ids, now, { key: `${SERVICE}.next.${row.id}.${by}.${owner.id}`, cafe: cafe.id, place: direct(personId(owner.person)), kind: SAID, data: said(message([text, show.say('booking.service.kept-ask')])), priority: 'other', silent: true });
    }
  };

  return { planById, plansOf, timerKey, dueAt, schedule, finished, nextVisit };
};
