import { calendarOf } from '../cafe/calendar.ts';
import { nextOpening, type CafeHours } from '../cafe/hours.ts';
import { afterRush } from '../cafe/hours-moments.ts';
import { cafesById, machinesOff, type Cafe } from '../cafe/records.ts';
import { placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { postAll, redraw, type Notice } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimers, type Timer } from '../store/timers.ts';
import { hours, instant, later, minutes, type Instant } from '../time/instant.ts';
import { isReckoned } from './dates.ts';
import { fire, type Fired, type Missed } from './fire.ts';
import { doneEarly, takeEarly } from './early.ts';
import { setRungs } from './ladder.ts';
import { closeReminder, dueDuties, insertOccurrences, insertReminders, moveDuties, occurrencesOf, remindersAt, repeatOf, anyDayOf, type Duty, type Reminder } from './records.ts';
import { planNudge } from './nudge.ts';
import { reckonSoon } from './reckon.ts';
import type { Job } from './standard.ts';

export type PostDue = (tx: Tx, cafes: readonly string[], now: Instant) => Promise<number>;

type Plan = { readonly cafe: Cafe; readonly calendar: CafeHours; readonly duties: readonly Duty[]; readonly fired: readonly Fired[]; readonly missed: readonly Missed[]; readonly moved: readonly Duty[] };

export const reminderKey = (id: string): string => `reminder.${id}`;

const planOf = (cafe: Cafe, duties: readonly Duty[], reckoned: ReadonlySet<string>, now: Instant): Plan | { readonly moved: readonly Duty[] } => {
  const calendar = calendarOf(cafe);
  const resting = (): { readonly moved: readonly Duty[] } => ({ moved: duties.map((duty) => ({ ...duty, next_due: null })) });
  if (!calendar || cafe.state !== 'live' || cafe.place === null) return resting();
  const planned = duties.flatMap((duty) => {
    const again = reckoned.has(duty.job);
    const repeat = again ? anyDayOf(duty) : repeatOf(duty);
    return repeat && duty.next_due !== null ? [{ id: duty.id, repeat, nextDue: instant(duty.next_due), ...(again ? { again } : {}) }] : [];
  });
  const { fired, missed, next } = fire(planned, calendar, now);
  const dates = new Map(next.map(({ duty, at }) => [duty, at]));
  const posted = new Map(fired.map(({ duty, at }) => [duty, at]));
  return { cafe, calendar, duties, fired, missed, moved: duties.map((duty) => ({ ...duty, next_due: dates.get(duty.id) ?? null, fired_at: posted.get(duty.id) ?? duty.fired_at, rev: duty.rev + 1 })) };
};

const isWhole = (plan: Plan | { readonly moved: readonly Duty[] }): plan is Plan => 'cafe' in plan;

/** When a list closes by itself: when the door opens next, at the latest after twelve hours. */
const closesAt = (calendar: CafeHours, due: Instant): Instant => {
  const opens = nextOpening(calendar, later(due, hours(2)));
  const latest = later(due, hours(12));
  return opens !== null && opens < latest ? opens : latest;
};

const awayNotice = ({ cafe, duties, missed }: Plan, now: Instant): readonly Notice[] => {
  if (missed.length === 0 || cafe.place === null) return [];
  const counts: Record<string, number> = {};
  for (const { duty } of missed) {
    const job = duties.find(({ id }) => id === duty)?.job ?? '';
    counts[job] = (counts[job] ?? 0) + 1;
  }
  const from = Math.min(...missed.map(({ at }) => at));
  return [{ key: `away.${cafe.id}.${from}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'routine.away', data: { cafe: cafe.id, until: now, counts }, priority: 'other' }];
};

/** What was done before its list came is marked on it; a list that is done altogether is closed, and not posted. */
const settleEarly = async (tx: Tx, reminders: readonly Reminder[]): Promise<ReadonlySet<string>> => {
  const early = await doneEarly(tx, [...new Set(reminders.map(({ cafe }) => cafe))], reminders.map(({ due_at }) => due_at));
  const settled = new Set<string>();
  if (early.length === 0) return settled;
  for (const reminder of reminders) {
    const rows = await occurrencesOf(tx, reminder.id);
    const done = await takeEarly(tx, rows, early);
    if (done.size === 0 || done.size < rows.length) continue;
    settled.add(reminder.id);
    await closeReminder(tx, reminder.id);
  }
  return settled;
};

/** Told when jobs were kept back because their machine must stay off. */
export type Withheld = (tx: Tx, cafe: Cafe, machine: string, now: Instant) => Promise<void>;

/** So many cafés planned at once are a peak, in which a silent list may come so much later. Assumed. */
const PEAK = 100;
const SILENT_MAY_WAIT = minutes(10);

const spreadOf = (cafe: string): number => Array.from(cafe).reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % SILENT_MAY_WAIT, 7);

/** Turns due duties into one list per café and moment, moves every duty on, and tells what was missed while away. */
export const createPostDue = (ids: Ids, jobs: readonly Job[], withheld: Withheld = async () => undefined): PostDue => {
  const order = new Map(jobs.map((job, i) => [job.id, i]));
  const silent = new Set(jobs.filter((job) => job.silent).map((job) => job.id));
  const hot = new Set(jobs.filter((job) => job.state === 'hot').map((job) => job.id));
  const reckoned = new Set(jobs.filter(isReckoned).map((job) => job.id));
  const cold = new Set(jobs.filter((job) => job.state === 'cold').map((job) => job.id));
  /** What hangs on other duties is reckoned anew once they have moved. */
  const hangsOn = ({ cafe, duties }: Plan): boolean => duties.some(({ job }) => reckoned.has(job) || (cafe.off_at_night === 'no' && cold.has(job)));
  const rank = (job: string): number => order.get(job) ?? jobs.length;

  const isSilent = (plan: Plan, { due_at }: Reminder): boolean => plan.fired.filter(({ at }) => at === due_at).every(({ duty }) => silent.has(plan.duties.find(({ id }) => id === duty)?.job ?? ''));

  const noticeOf = (plan: Plan, reminder: Reminder, peak: boolean, now: Instant): Notice => ({
    // In the rush nothing rings but danger, answers and visits. In a peak what rings goes first, and the silent lists are spread.
    notBefore: later(afterRush(plan.calendar, now), peak && isSilent(plan, reminder) ? spreadOf(plan.cafe.id) : 0),
    key: reminderKey(reminder.id),
    cafe: plan.cafe.id,
    place: placeId(reminder.place),
    kind: 'reminder',
    data: { reminder: reminder.id },
    priority: 'reminder',
    silent: isSilent(plan, reminder),
    notAfter: later(instant(reminder.due_at), hours(6)),
  });

  const occurrencesOfPlan = (plan: Plan, reminders: ReadonlyMap<string, Reminder>): readonly { reminder: Reminder; duty: Duty; at: Instant }[] =>
    plan.fired.flatMap(({ duty, at }) => {
      const reminder = reminders.get(`${plan.cafe.id} ${at}`);
      const row = plan.duties.find(({ id }) => id === duty);
      return reminder && row ? [{ reminder, duty: row, at }] : [];
    });

  const postPlans = async (tx: Tx, plans: readonly Plan[], now: Instant): Promise<void> => {
    const wanted = plans.flatMap((plan) => [...new Map(plan.fired.map((one) => [one.at, one])).values()].map((one) => ({ plan, one })));
    await insertReminders(tx, wanted.map(({ plan, one }) => ({
      id: ids(now), cafe: plan.cafe.id, place: plan.cafe.place ?? '', due_at: one.at, moment: one.moment, date: one.date, state: 'open', missed: 0, form: one.moment === 'at-closing' ? plan.cafe.list_form : null, created_at: now,
    })));
    const stored = await remindersAt(tx, [...new Set(wanted.map(({ plan }) => plan.cafe.id))], [...new Set(wanted.map(({ one }) => one.at))]);
    const reminders = new Map(stored.map((reminder) => [`${reminder.cafe} ${reminder.due_at}`, reminder]));
    const rows = plans.flatMap((plan) => occurrencesOfPlan(plan, reminders)).sort((a, b) => rank(a.duty.job) - rank(b.duty.job));
    const positions = new Map<string, number>();
    await insertOccurrences(tx, rows.map(({ reminder, duty, at }) => {
      const position = (positions.get(reminder.id) ?? 0) + 1;
      positions.set(reminder.id, position);
      return { id: ids(now), reminder: reminder.id, duty: duty.id, cafe: duty.cafe, job: duty.job, machine: duty.machine, group_number: duty.group_number, position, due_at: at, state: 'due', rev: 0 };
    }));
    const settled = await settleEarly(tx, [...reminders.values()]);
    await postAll(tx, ids, now, wanted.flatMap(({ plan, one }) => {
      const reminder = reminders.get(`${plan.cafe.id} ${one.at}`);
      return reminder && !settled.has(reminder.id) ? [noticeOf(plan, reminder, plans.length >= PEAK, now)] : [];
    }));
    const closing = new Map<string, Timer>();
    for (const { plan, one } of wanted) {
      const reminder = reminders.get(`${plan.cafe.id} ${one.at}`);
      if (!reminder || settled.has(reminder.id)) continue;
      // A list that was there before has grown, and has to show it.
      if (reminder.created_at !== now) await redraw(tx, reminderKey(reminder.id), now);
      closing.set(reminder.id, { key: `routine.close.${reminder.id}`, cafe: plan.cafe.id, kind: 'routine.close', ref: reminder.id, at: closesAt(plan.calendar, one.at) });
      await setRungs(tx, ids, plan.cafe, reminder, now);
    }
    await setTimers(tx, ids, now, [...closing.values()]);
    await postAll(tx, ids, now, plans.flatMap((plan) => awayNotice(plan, now)));
  };

  return async (tx, cafes, now) => {
    const duties = await dueDuties(tx, cafes, now);
    if (duties.length === 0) return 0;
    const rows = new Map((await cafesById(tx, [...new Set(duties.map(({ cafe }) => cafe))])).map((cafe) => [cafe.id, cafe]));
    const off = await machinesOff(tx, [...rows.keys()]);
    const plans = [...rows.values()].map((cafe) => planOf(cafe, duties.filter((duty) => duty.cafe === cafe.id), reckoned, now));
    // Nobody is reminded of a job that needs the machine on while it must stay off.
    const kept = (plan: Plan, { duty }: Fired): boolean => plan.duties.some(({ id, job, machine }) => id === duty && hot.has(job) && off.has(machine ?? ''));
    await postPlans(tx, plans.filter(isWhole).map((plan) => ({ ...plan, fired: plan.fired.filter((one) => !kept(plan, one)) })), now);
    for (const plan of plans.filter(isWhole))
      for (const machine of new Set(plan.fired.filter((one) => kept(plan, one)).map(({ duty }) => plan.duties.find(({ id }) => id === duty)?.machine ?? ''))) await withheld(tx, plan.cafe, machine, now);
    await moveDuties(tx, plans.flatMap((plan) => plan.moved));
    for (const plan of plans.filter(isWhole)) {
      await planNudge(tx, ids, plan.cafe, plan.moved, now);
      if (hangsOn(plan)) await reckonSoon(tx, ids, plan.cafe.id, now);
    }
    return duties.length;
  };
};
