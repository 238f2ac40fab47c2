import type { Weekday } from '../time/local-date.ts';
import { oftenOf, ruleFor } from './often.ts';

/** From so many minutes of hands on a job is a long one, which should not share its day with another. Assumed. */
export const LONG_MINUTES = 15;

export type Weekly = { readonly rule: string; readonly minutes: number };

const dayOf = (rule: string | undefined): Weekday | undefined => {
  const often = rule === undefined ? { kind: 'other' as const } : oftenOf(rule);
  return often.kind === 'weekly' && often.days.length === 1 ? often.days[0] : undefined;
};

const WEEK: readonly Weekday[] = [1, 2, 3, 4, 5, 6, 7];

/**
 * The rule of a new long job, moved to a weekday with the least long work on it; its own day is kept where that is no worse.
 * Short jobs, and rules that are not one day of the week, stay as they are. `open`: days on which somebody is there.
 */
export const rotated = (job: Weekly, others: readonly Weekly[], open: readonly Weekday[]): string => {
  const own = dayOf(job.rule);
  if (own === undefined || job.minutes < LONG_MINUTES) return job.rule;
  const load = (day: Weekday): number => others.filter(({ rule, minutes }) => minutes >= LONG_MINUTES && dayOf(rule) === day).reduce((sum, { minutes }) => sum + minutes, 0);
  const from = WEEK.indexOf(own);
  const inTurn = [...WEEK.slice(from), ...WEEK.slice(0, from)].filter((day) => day === own || open.includes(day));
  const best = inTurn.reduce((least, day) => (load(day) < load(least) ? day : least));
  return best === own ? job.rule : ruleFor({ kind: 'weekly', every: 1, days: [best] });
};
