import { businessDateAt, nextOpening, type CafeHours } from '../cafe/hours.ts';
import { nextDue, type Repeat } from '../cafe/hours-due.ts';
import { comesAgain, fromDateOn } from './come-round.ts';
import { hours, later, type Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';

/** A duty as the tick sees it. `nextDue` is the date already promised. */
export type Planned = {
  readonly id: string;
  readonly repeat: Repeat;
  readonly nextDue: Instant;
  /** Due by use or forecast: it comes again in a week, not by a rule. */
  readonly again?: true;
};

/** A job to be posted: what fell due when, for which business date. */
export type Fired = { readonly duty: string; readonly at: Instant; readonly date: LocalDate; readonly moment: string };

/** Dates that fell due while nobody could post them, and are too old to be posted now. */
export type Missed = { readonly duty: string; readonly at: Instant };

export type Firing = {
  readonly fired: readonly Fired[];
  readonly missed: readonly Missed[];
  readonly next: readonly { readonly duty: string; readonly at: Instant | null }[];
};

/** A reminder later than this is no longer one; the café has gone home or is already serving. */
const LATEST = hours(6);

/** Is a job due at `at` still worth posting at `now`? Not after the door has opened again, and not after six hours. */
export const stillTimely = (cafe: CafeHours, at: Instant, now: Instant): boolean => {
  if (now - at > LATEST) return false;
  const opens = nextOpening(cafe, at);
  return opens === null || opens > now || opens - at < hours(3);
};

/** Due once, by use, forecast or a closure: what could not be posted is posted at the next chance. */
const fireAgain = (duty: Planned, cafe: CafeHours, now: Instant): Firing => {
  const at = duty.nextDue;
  const timely = stillTimely(cafe, at, now);
  const next = timely ? comesAgain(duty.repeat, cafe, at) : fromDateOn(duty.repeat, businessDateAt(cafe, now), cafe, now);
  return { fired: timely ? [{ duty: duty.id, at, date: businessDateAt(cafe, at, 60), moment: duty.repeat.moment.kind }] : [], missed: [], next: [{ duty: duty.id, at: next }] };
};

const fireOne = (duty: Planned, cafe: CafeHours, now: Instant): Firing => {
  const dues: Instant[] = [];
  let at: Instant | null = duty.nextDue;
  while (at !== null && at <= now) {
    dues.push(at);
    at = nextDue(duty.repeat, cafe, at)?.at ?? null;
  }
  const last = dues.at(-1);
  const timely = last !== undefined && stillTimely(cafe, last, now);
  return {
    fired: timely ? [{ duty: duty.id, at: last, date: businessDateAt(cafe, last, 60), moment: duty.repeat.moment.kind }] : [],
    missed: (timely ? dues.slice(0, -1) : dues).map((each) => ({ duty: duty.id, at: each })),
    next: [{ duty: duty.id, at }],
  };
};

/** What a café's due duties come to at `now`: posts, dates gone by, and when each is due next. */
export const fire = (duties: readonly Planned[], cafe: CafeHours, now: Instant): Firing => {
  const all = duties.filter((duty) => duty.nextDue <= now).map((duty) => (duty.again ? fireAgain : fireOne)(duty, cafe, now));
  return { fired: all.flatMap((one) => one.fired), missed: all.flatMap((one) => one.missed), next: all.flatMap((one) => one.next) };
};

/** When a new duty is first due: strictly after now. */
export const firstDue = (repeat: Repeat, cafe: CafeHours, now: Instant): Instant | null => nextDue(repeat, cafe, later(now, 0))?.at ?? null;
