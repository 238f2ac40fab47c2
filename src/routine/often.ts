import type { Weekday } from '../time/local-date.ts';
import { parseRule } from '../time/recurrence-text.ts';
import { WEEKDAY_CODES } from '../time/recurrence-rule.ts';

/** How often a job comes round, as people say it. */
export type Often =
  | { readonly kind: 'daily' }
  | { readonly kind: 'weekly'; readonly days: readonly Weekday[]; readonly every: number }
  | { readonly kind: 'monthly'; readonly nth: number; readonly day: Weekday }
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
export const ruleFor = (often: Exclude<Often, { kind: 'other' }>): string => {
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
