import type { Instant } from '../time/instant.ts';
import { type DayNumber, type LocalDate, fromDay, toDay } from '../time/local-date.ts';
import { nextDay } from '../time/recurrence.ts';
import type { Rule } from '../time/recurrence-rule.ts';
import { dayAt, hasDay } from '../time/wall-time.ts';
import {
  type CafeHours,
  LONGEST_CLOSURE_DAYS,
  isOpenDay,
  isShutOut,
  openDayFrom,
  openDayUpTo,
} from './hours.ts';
import { isAway } from './closures.ts';
import { type Moment, momentOnDay } from './hours-moments.ts';

/** What becomes of a date on which the café is closed; `stay` is for jobs that like a closed day. On a holiday nobody is there: it moves to the next open day; in a week or more away it is left out. */
export type OnClosed = 'open-day-before' | 'open-day-after' | 'skip' | 'stay';

/** When a duty comes round: dates by rule, a moment on each, and what to do on closed ones. */
export type Repeat = {
  readonly rule: Rule;
  readonly start: LocalDate;
  readonly moment: Moment;
  readonly onClosed: OnClosed;
};

/** `date` is the business date, which for a moment past midnight is the day before. */
export type Due = { readonly at: Instant; readonly date: LocalDate };

// A rule whose dates are all closed days (Mondays, closed on Mondays, skipped) must end the search.
const MOST_DATES_TRIED = 60;

const needsHours = ({ kind }: Moment): boolean => kind !== 'clock' && kind !== 'cold';

const policyOf = ({ onClosed, moment }: Repeat): OnClosed =>
  onClosed === 'stay' && needsHours(moment) ? 'open-day-after' : onClosed;

/** The day on which a day of the rule is done, null if it is left out. */
const movedTo = (cafe: CafeHours, policy: OnClosed, ruled: DayNumber): DayNumber | null => {
  const day = hasDay(ruled, cafe.zone) ? ruled : ruled + 1;
  switch (policy) {
    case 'stay':
      if (isAway(cafe, day)) return null;
      return isShutOut(cafe, day) ? openDayFrom(cafe, day) : day;
    case 'skip':
      return isOpenDay(cafe, day) ? day : null;
    case 'open-day-before':
      return openDayUpTo(cafe, day);
    case 'open-day-after':
      return openDayFrom(cafe, day);
  }
};

/** The day after which a day of the rule can still be done on `earliest` or later. */
const searchAfter = (cafe: CafeHours, policy: OnClosed, earliest: DayNumber): DayNumber =>
  policy === 'open-day-after' || policy === 'stay'
    ? (openDayUpTo(cafe, earliest - 1) ?? earliest - LONGEST_CLOSURE_DAYS)
    : // One day more, for a date that the zone leaves out and that moves to the next.
      earliest - 2;

/** Where to look on: all days of one closure end on the same open day. */
const searchOn = (cafe: CafeHours, policy: OnClosed, ruled: DayNumber): DayNumber | null => {
  if (policy === 'stay' || isOpenDay(cafe, ruled)) return ruled;
  const reopens = openDayFrom(cafe, ruled);
  return reopens === null ? null : reopens - (policy === 'open-day-after' ? 0 : 1);
};

/**
 * The first time strictly after `after` at which the duty is due, null if there is none or if
 * the next sixty dates of the rule all fall on closed days and are skipped. Pass the
 * last due time that was dealt with, not the present moment: a date that moved into the past
 * because the hours were changed is then still reported, once.
 */
export const nextDue = (repeat: Repeat, cafe: CafeHours, after: Instant): Due | null => {
  const policy = policyOf(repeat);
  const start = toDay(repeat.start);
  const earliest = dayAt(after, cafe.zone).day - 1;
  let from: DayNumber | null = searchAfter(cafe, policy, earliest);
  for (let tried = 0; from !== null && tried < MOST_DATES_TRIED; tried += 1) {
    const ruled = nextDay(repeat.rule, start, from);
    if (ruled === null) return null;
    const day = movedTo(cafe, policy, ruled);
    const at = day === null || day < earliest ? null : momentOnDay(cafe, day, repeat.moment);
    if (day !== null && at !== null && at > after) return { at, date: fromDay(day) };
    from = searchOn(cafe, policy, ruled);
  }
  return null;
};

/** As `nextDue`, the moment alone. */
export const dueAfter = (repeat: Repeat, cafe: CafeHours, after: Instant): Instant | null =>
  nextDue(repeat, cafe, after)?.at ?? null;

/** Everything due after `after` and up to `until`, the first `most` of it. */
export const duesBetween = (
  repeat: Repeat,
  cafe: CafeHours,
  after: Instant,
  until: Instant,
  most = 1000,
): readonly Due[] => {
  const dues: Due[] = [];
  let due = nextDue(repeat, cafe, after);
  while (due !== null && due.at <= until && dues.length < most) {
    dues.push(due);
    due = nextDue(repeat, cafe, due.at);
  }
  return dues;
};
