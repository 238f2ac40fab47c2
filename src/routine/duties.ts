import type { Insertable } from 'kysely';
import { calendarOf } from '../cafe/calendar.ts';
import type { CafeHours } from '../cafe/hours.ts';
import { cafeById, machinesOf, type Cafe, type Machine } from '../cafe/records.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { DutyRow } from '../store/tables/routine.ts';
import type { Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import { firstDue } from './fire.ts';
import { dutiesOf, insertDuties, repeatOf, setDuty } from './records.ts';
import { jobsFor, type Job, type MachineFact } from './standard.ts';

/** What is known of a machine, as far as it decides on jobs. */
export const factsOf = (machine: Pick<Machine, 'lever' | 'exhaust' | 'gas' | 'feed' | 'facts'>): ReadonlySet<MachineFact> => {
  const facts = JSON.parse(machine.facts) as Readonly<Record<string, unknown>>;
  const known: readonly (readonly [MachineFact, boolean])[] = [
    ['exhaust', machine.exhaust === 'yes'],
    // Not known may be a lever, and a lever must not be backflushed.
    ['lever', machine.lever !== 'no'],
    ['gas', machine.gas === 'yes'],
    ['tank', machine.feed === 'tank'],
    ['softener', facts['filter'] === 'salt softener'],
  ];
  return new Set(known.filter(([, there]) => there).map(([fact]) => fact));
};

const newDuty = (cafe: Cafe, machine: Machine, job: Job, id: string, now: Instant): Insertable<DutyRow> => ({
  id,
  cafe: cafe.id,
  machine: machine.id,
  job: job.id,
  rrule: job.rule,
  start_date: dateAt(now, cafe.zone),
  moment: JSON.stringify(job.moment),
  on_closed: job.onClosed,
  next_due: null,
  active: 1,
  switched_off: 0,
  rev: 0,
  created_at: now,
});

/** Gives every machine of the café the jobs it needs, keeps what the café changed, and sets each duty's next date. */
export const planDuties = async (tx: Tx, ids: Ids, jobs: readonly Job[], cafeId: string, now: Instant): Promise<void> => {
  const cafe = await cafeById(tx, cafeId);
  if (!cafe) return;
  const calendar = calendarOf(cafe);
  const known = await dutiesOf(tx, cafeId);
  for (const machine of await machinesOf(tx, cafeId)) {
    const needed = jobsFor(jobs, factsOf(machine));
    const own = known.filter((duty) => duty.machine === machine.id);
    await insertDuties(tx, needed.filter((job) => !own.some((duty) => duty.job === job.id)).map((job) => newDuty(cafe, machine, job, ids(now), now)));
    for (const duty of own.filter(({ job }) => !needed.some(({ id }) => id === job))) await setDuty(tx, duty.id, { active: 0, next_due: null });
    for (const duty of own.filter(({ job, active, switched_off }) => active === 0 && switched_off === 0 && needed.some(({ id }) => id === job))) await setDuty(tx, duty.id, { active: 1 });
  }
  await setDates(tx, cafe, calendar, now);
};

/** Sets the next date of every active duty anew, after hours, zone or routine changed. */
export const setDates = async (tx: Tx, cafe: Cafe, calendar: CafeHours | null, now: Instant): Promise<void> => {
  for (const duty of await dutiesOf(tx, cafe.id)) {
    const repeat = repeatOf(duty);
    const due = duty.active === 1 && calendar && repeat && cafe.state === 'live' ? firstDue(repeat, calendar, now) : null;
    if (due !== duty.next_due) await setDuty(tx, duty.id, { next_due: due });
  }
};
