import type { DutyRow } from '../store/tables/routine.ts';
import type { Say } from '../words/catalogue.ts';
import type { Job } from './standard.ts';
import type { Weekday } from '../time/local-date.ts';
import { parseRule } from '../time/recurrence-text.ts';
import { figure } from '../words/format.ts';
import { WEEKDAY_CODES } from '../time/recurrence-rule.ts';

/** How often a job comes round, as people say it. */
export type Often =
  | { readonly kind: 'daily' }
  | { readonly kind: 'weekly'; readonly days: readonly Weekday[]; readonly every: number }
  | { readonly kind: 'monthly'; readonly nth: number; readonly day: Weekday }
  | { readonly kind: 'use'; readonly every: number; readonly of: string; readonly yearly: boolean }
  | { readonly kind: 'forecast' }
  | { readonly kind: 'around' }
  | { readonly kind: 'other' };

/** A stored rule in those words; `other` for one that nobody can choose from a list. */
export const oftenOf = (rrule: string): Often => {
  const parsed = parseRule(rrule);
  if (!parsed.ok) return { kind: 'other' };
  const weekly = /^FREQ=WEEKLY(?:;INTERVAL=(\d+))?;BYDAY=([A-Z,]+)$/.exec(rrule);
  if (rrule === 'FREQ=DAILY') return { kind: 'daily' };
  if (weekly) return { kind: 'weekly', every: Number(weekly[1] ?? 1), days: (weekly[2] ?? '').split(',').map((code) => (WEEKDAY_CODES.indexOf(code as (typeof WEEKDAY_CODES)[number]) + 1) as Weekday) };
  const monthly = /^FREQ=MONTHLY;BYDAY=(-?\d)([A-Z]{2})$/.exec(rrule);
  if (monthly) return { kind: 'monthly', nth: Number(monthly[1]), day: (WEEKDAY_CODES.indexOf(monthly[2] as (typeof WEEKDAY_CODES)[number]) + 1) as Weekday };
  return { kind: 'other' };
};

/** The rule of RFC 5545 for what was chosen; weekdays 1 (Monday) to 7. */
export const ruleFor = (often: Extract<Often, { kind: 'daily' | 'weekly' | 'monthly' }>): string => {
  switch (often.kind) {
    case 'daily':
      return 'FREQ=DAILY';
    case 'weekly': {
      const days = [...new Set(often.days)].sort((a, b) => a - b).map((day) => WEEKDAY_CODES[day - 1]);
      return `FREQ=WEEKLY${often.every > 1 ? `;INTERVAL=${often.every}` : ''};BYDAY=${days.join(',')}`;
    }
    case 'monthly':
      return `FREQ=MONTHLY;BYDAY=${often.nth}${WEEKDAY_CODES[often.day - 1]}`;
  }
};

/** How often a duty comes round, by whatever it does. */
export const dutyOften = (duty: Pick<DutyRow, 'rrule' | 'use_every' | 'use_unit'>, job: Job | undefined): Often => {
  if (duty.use_every !== null && duty.use_unit !== null) return { kind: 'use', every: duty.use_every, of: duty.use_unit, yearly: duty.rrule !== null };
  if (job?.forecast !== undefined) return { kind: 'forecast' };
  return job?.around === undefined ? oftenOf(duty.rrule ?? '') : { kind: 'around' };
};

/** What is said of a job that comes round by more than the calendar. */
export const reckonedText = (say: Say, locale: string, often: Extract<Often, { kind: 'use' | 'forecast' | 'around' }>): string =>
  often.kind === 'use' ? say(often.yearly ? 'routine.often.use-or-year' : 'routine.often.use', { every: say(`routine.counter.value.${often.of}`, { value: figure(often.every, locale) }) }) : say(`routine.often.${often.kind}`);
