import type { Insertable } from 'kysely';
import { calendarOf } from '../cafe/calendar.ts';
import type { CafeHours } from '../cafe/hours.ts';
import { cafeById, groupsOf, machinesOf, type Cafe, type Machine } from '../cafe/records.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { DutyRow } from '../store/tables/routine.ts';
import type { Instant } from '../time/instant.ts';
import type { Weekday } from '../time/local-date.ts';
import { dateAt } from '../time/wall-time.ts';
import { setDates } from './dates.ts';
import { planNudge } from './nudge.ts';
import { dutiesOf, insertDuties, setDuty } from './records.ts';
import { setReckoning } from './reckon.ts';
import { rotated } from './rotation.ts';
import { jobsFor, type Job, type MachineFact } from './standard.ts';
import type { Usual } from './usual.ts';

const CARTRIDGES = ['resin', 'softener', 'carbon', 'osmosis'];

/** What is known of a machine, as far as it decides on jobs. */
export const factsOf = (machine: Pick<Machine, 'lever' | 'exhaust' | 'gas' | 'feed' | 'facts'>, cafe?: Pick<Cafe, 'off_at_night'>): ReadonlySet<MachineFact> => {
  const facts = JSON.parse(machine.facts) as Readonly<Record<string, unknown>>;
  const known: readonly (readonly [MachineFact, boolean])[] = [
    ['exhaust', machine.exhaust === 'yes'],
    // Not known may be a lever, and a lever must not be backflushed.
    ['lever', machine.lever !== 'no'],
    ['gas', machine.gas === 'yes'],
    ['tank', machine.feed === 'tank'],
    ['softener', facts['filter'] === 'salt softener'],
    ['filter', CARTRIDGES.includes(String(facts['filter']))],
    ['always-on', cafe?.off_at_night === 'no'],
  ];
  return new Set(known.filter(([, there]) => there).map(([fact]) => fact));
};

/** Where a duty belongs: a machine, one group of it, or the café. */
type Spot = { readonly job: Job; readonly machine: string | null; readonly group: number | null };

const isAt = ({ job, machine, group }: Spot, duty: Pick<DutyRow, 'job' | 'machine' | 'group_number'>): boolean => duty.job === job.id && duty.machine === machine && duty.group_number === group;

const spotsFor = async (tx: Tx, jobs: readonly Job[], cafe: Cafe): Promise<readonly Spot[]> => {
  const spots: Spot[] = [];
  for (const machine of await machinesOf(tx, cafe.id)) {
    const groups = await groupsOf(tx, machine.id);
    for (const job of jobsFor(jobs, factsOf(machine, cafe)))
      if (job.per === 'group') spots.push(...groups.map(({ number }) => ({ job, machine: machine.id, group: number })));
      else if (job.per === 'machine' || !spots.some((spot) => spot.job === job)) spots.push({ job, machine: job.per === 'machine' ? machine.id : null, group: null });
  }
  return spots;
};

const openWeekdays = (calendar: CafeHours | null): readonly Weekday[] => ([1, 2, 3, 4, 5, 6, 7] as const).filter((day) => calendar === null || (calendar.week.days[day - 1] ?? []).length > 0);

const newDuty = (cafe: Cafe, { job, machine, group }: Spot, rule: string | null, id: string, now: Instant): Insertable<DutyRow> => ({
  id,
  cafe: cafe.id,
  machine,
  group_number: group,
  job: job.id,
  rrule: rule,
  start_date: rule === null ? null : dateAt(now, cafe.zone),
  moment: JSON.stringify(job.moment),
  on_closed: job.onClosed,
  use_every: job.use?.every ?? null,
  use_unit: job.use?.of ?? null,
  next_due: null,
  active: 1,
  switched_off: 0,
  rev: 0,
  created_at: now,
});

const addMissing = async (tx: Tx, ids: Ids, jobs: readonly Job[], spots: readonly Spot[], known: readonly DutyRow[], cafe: Cafe, calendar: CafeHours | null, now: Instant): Promise<void> => {
  const minutes = new Map(jobs.map((job) => [job.id, job.minutes]));
  const planned = known.flatMap(({ rrule, job, active }) => (rrule === null || active === 0 ? [] : [{ rule: rrule, minutes: minutes.get(job) ?? 0 }]));
  const added: Insertable<DutyRow>[] = [];
  for (const spot of spots.filter((each) => !known.some((duty) => isAt(each, duty)))) {
    const rule = spot.job.rule === undefined ? null : rotated({ rule: spot.job.rule, minutes: spot.job.minutes }, planned, openWeekdays(spot.job.onClosed === 'stay' ? null : calendar));
    if (rule !== null) planned.push({ rule, minutes: spot.job.minutes });
    added.push(newDuty(cafe, spot, rule, ids(now), now));
  }
  await insertDuties(tx, added);
};

/** Gives every machine of the café the jobs it needs, keeps what the café changed, and sets each duty's next date. */
export const planDuties = async (tx: Tx, ids: Ids, jobs: readonly Job[], usual: Usual, cafeId: string, now: Instant): Promise<void> => {
  const cafe = await cafeById(tx, cafeId);
  if (!cafe) return;
  const calendar = calendarOf(cafe);
  const known = await dutiesOf(tx, cafeId);
  const spots = await spotsFor(tx, jobs, cafe);
  await addMissing(tx, ids, jobs, spots, known, cafe, calendar, now);
  for (const duty of known) {
    const needed = spots.some((spot) => isAt(spot, duty));
    if (!needed && (duty.active === 1 || duty.next_due !== null)) await setDuty(tx, duty.id, { active: 0, next_due: null });
    if (needed && duty.active === 0 && duty.switched_off === 0) await setDuty(tx, duty.id, { active: 1 });
  }
  await setDates(tx, jobs, usual, cafe, calendar, now);
  await planNudge(tx, ids, cafe, await dutiesOf(tx, cafeId), now);
  await setReckoning(tx, ids, cafe, now);
};
