/** A job that comes round: what, when, where. */
export type DutyRow = {
  id: string;
  cafe: string;
  machine: string | null;
  group_number: number | null;
  /** Key of the job in config/routine.yaml. */
  job: string;
  /** RFC 5545 rule on local dates, its first date, and the moment of the day. */
  rrule: string | null;
  start_date: string | null;
  moment: string;
  on_closed: string;
  /** By use: how many of what (coffees, litres), and the count it starts from. */
  use_every: number | null;
  use_unit: string | null;
  use_from: number | null;
  use_since: number | null;
  /** By forecast: the instant another subject last gave. */
  forecast_at: number | null;
  next_due: number | null;
  active: number;
  /** The owner does not want this job here. */
  switched_off: number;
  /** Who does it: a member's id; null: whoever is on. */
  who: string | null;
  last_done_at: number | null;
  /** note or photo: what the owner asks for with a done; null: nothing. */
  proof: string | null;
  /** When it last came on a list; one by use or forecast comes again only after a week. */
  fired_at: number | null;
  rev: number;
  created_at: number;
};

/** One message of jobs of a café at a moment. */
export type ReminderRow = {
  id: string;
  cafe: string;
  place: string;
  due_at: number;
  moment: string;
  /** Business date the jobs belong to. */
  date: string;
  /** open, closed. */
  state: string;
  /** Jobs that fell due before this while nobody could post them. */
  missed: number;
  /** short: one line; null or long: every job by its name. */
  form: string | null;
  created_at: number;
};

/** A job on a reminder. */
export type OccurrenceRow = {
  id: string;
  reminder: string;
  duty: string;
  cafe: string;
  job: string;
  machine: string | null;
  group_number: number | null;
  position: number;
  due_at: number;
  /** due, part done, done, later, can't, left over, not for us, asked (ends later and is being asked about). */
  state: string;
  by_person: string | null;
  by_name: string | null;
  done_at: number | null;
  reason: string | null;
  note: string | null;
  later_until: number | null;
  rev: number;
};

/** What a job on a list was before the owner corrected it, as JSON of `routine/correct.ts`. */
export type CorrectionRow = { id: string; cafe: string; occurrence: string; was: string; by_person: string | null; by_name: string; at: number };

/** A job done before its list was posted: of which duty, for which date. */
export type DoneEarlyRow = { id: string; cafe: string; duty: string; due_at: number; by_person: string | null; by_name: string; at: number };

/** A job done at a technician's visit: of which duty, at which visit. */
export type DoneAtVisitRow = { id: string; cafe: string; visit: string; duty: string; at: number };

/** What somebody read off a counter. */
export type CounterReadingRow = {
  id: string;
  cafe: string;
  /** Null for a counter that belongs to no machine, as a grinder's. */
  machine: string | null;
  /** coffees, litres, kg. */
  counter: string;
  value: number;
  /** The counter began anew before this reading. */
  anew: number;
  /** counts, asked (waits for a yes), dropped. */
  state: string;
  by_person: string | null;
  by_name: string;
  at: number;
};

export type RoutineTables = { counter_reading: CounterReadingRow; duty: DutyRow; reminder: ReminderRow; occurrence: OccurrenceRow; correction: CorrectionRow; done_early: DoneEarlyRow; done_at_visit: DoneAtVisitRow };
