import { describe, expect, it } from 'vitest';
import { localDate } from '../../src/time/local-date.ts';
import { nextDate } from '../../src/time/recurrence.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';

const rule = (text: string) => {
  const parsed = parseRule(text);
  if (!parsed.ok) throw new Error(`${text}: ${parsed.problem} ${parsed.part}`);
  return parsed.rule;
};

describe('next date', () => {
  it('finds the last Friday far from the start', () => {
    const found = nextDate(rule('FREQ=MONTHLY;BYDAY=-1FR'), localDate('1997-09-26'), localDate('2026-11-26'));
    expect(found).toBe('2026-11-27');
  });
  it('never falls on 30 February', () => {
    const r = rule('FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30');
    expect(nextDate(r, localDate('1997-09-26'), localDate('2026-11-26'))).toBeNull();
  });
});
