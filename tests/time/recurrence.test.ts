import { describe, expect, it } from 'vitest';
import { fromDay, localDate, toDay } from '../../src/time/local-date.ts';
import { datesBetween, nextDate } from '../../src/time/recurrence.ts';
import { type Rule, formatRule } from '../../src/time/recurrence-rule.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import { localTime } from '../../src/time/wall-time.ts';
import { between, randomFrom, randomRule } from './random-rules.ts';

const ruleOf = (text: string, until?: Parameters<typeof parseRule>[1]): Rule => {
  const parsed = parseRule(text, until);
  if (!parsed.ok) throw new Error(`${text}: ${parsed.problem} at ${parsed.part}`);
  return parsed.rule;
};

const dates = (text: string, start: string, to: string): readonly string[] =>
  datesBetween(ruleOf(text), localDate(start), localDate(start), localDate(to));

describe('dates that do not exist', () => {
  it('leaves out months without a 31st instead of taking the 30th', () => {
    expect(dates('FREQ=MONTHLY', '2026-01-31', '2026-12-31')).toEqual([
      '2026-01-31', '2026-03-31', '2026-05-31', '2026-07-31', '2026-08-31', '2026-10-31',
      '2026-12-31',
    ]);
  });

  it('keeps to the last day of the month when that is what was asked', () => {
    expect(dates('FREQ=MONTHLY;BYMONTHDAY=-1', '2028-01-31', '2028-04-30')).toEqual([
      '2028-01-31', '2028-02-29', '2028-03-31', '2028-04-30',
    ]);
  });

  it('waits eight years for 29 February across 2100, which is no leap year', () => {
    expect(dates('FREQ=YEARLY', '2096-02-29', '2107-12-31')).toEqual([
      '2096-02-29', '2104-02-29',
    ]);
  });

  it('finds nothing on 30 February, and comes back', () => {
    const rule = ruleOf('FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30');
    expect(nextDate(rule, localDate('2026-01-01'), localDate('2026-01-01'))).toBeNull();
  });
});

describe('parts that libraries disagree on', () => {
  // RFC 5545 section 3.3.10: a list in BYDAY adds up.
  it('takes plain and numbered weekdays of one list together', () => {
    expect(dates('FREQ=MONTHLY;BYDAY=MO,1TU', '2026-06-01', '2026-06-30')).toEqual([
      '2026-06-01', '2026-06-02', '2026-06-08', '2026-06-15', '2026-06-22', '2026-06-29',
    ]);
  });

  it('knows the fifth Friday from the end', () => {
    expect(dates('FREQ=MONTHLY;BYDAY=-5FR', '2026-01-01', '2026-06-30')).toEqual([
      '2026-01-02', '2026-05-01',
    ]);
  });

  // RFC 5545 section 3.3.10: what the rule leaves open comes from the start.
  it('takes the weekday of the start for a week number', () => {
    expect(dates('FREQ=YEARLY;BYWEEKNO=20', '2026-05-13', '2028-12-31')).toEqual([
      '2026-05-13', '2027-05-19', '2028-05-17',
    ]);
  });

  // ISO 8601: 2026 has 53 weeks, its first day belongs to its own week 1, 2027-01-01 to week 53.
  it('counts the days around New Year to the week that holds them', () => {
    expect(dates('FREQ=YEARLY;BYWEEKNO=53;BYDAY=TH,FR', '2026-01-01', '2027-12-31')).toEqual([
      '2026-12-31', '2027-01-01',
    ]);
    expect(dates('FREQ=YEARLY;BYWEEKNO=-1;BYDAY=FR', '2026-01-01', '2028-12-31')).toEqual([
      '2027-01-01', '2027-12-31', '2028-12-29',
    ]);
  });

  it('does not count a start that the rule does not fall on', () => {
    expect(dates('FREQ=WEEKLY;BYDAY=MO;COUNT=2', '2026-11-25', '2027-12-31')).toEqual([
      '2026-11-30', '2026-12-07',
    ]);
  });
});

describe('an UNTIL with a time', () => {
  const madrid = { time: localTime('09:00'), zone: 'Europe/Madrid' };

  it.each([
    ['20260131T080000Z', '2026-01-31'],
    ['20260131T075959Z', '2026-01-30'],
    ['20260731T070000Z', '2026-07-31'],
    ['20260731T065900Z', '2026-07-30'],
    ['20260131T090000', '2026-01-31'],
    ['20260131T085900', '2026-01-30'],
    ['20260131', '2026-01-31'],
  ])('%s ends a job at 09:00 in Madrid on %s', (until, last) => {
    expect(ruleOf(`FREQ=DAILY;UNTIL=${until}`, madrid).until).toBe(last);
  });
});

describe('rules that cannot be read', () => {
  it.each([
    ['', 'malformed', ''],
    ['every monday', 'malformed', 'EVERY MONDAY'],
    ['FREQ=DAILY;', 'malformed', ''],
    ['INTERVAL=2', 'frequency-missing', 'FREQ'],
    ['FREQ=FORTNIGHTLY', 'frequency-unknown', 'FREQ=FORTNIGHTLY'],
    ['FREQ=HOURLY', 'shorter-than-a-day', 'FREQ=HOURLY'],
    ['FREQ=DAILY;BYHOUR=9', 'shorter-than-a-day', 'BYHOUR=9'],
    ['FREQ=DAILY;FREQ=DAILY', 'repeated-part', 'FREQ=DAILY'],
    ['FREQ=DAILY;BYEASTER=1', 'unknown-part', 'BYEASTER=1'],
    ['FREQ=DAILY;INTERVAL=0', 'number-out-of-range', 'INTERVAL=0'],
    ['FREQ=DAILY;COUNT=-1', 'number-out-of-range', 'COUNT=-1'],
    ['FREQ=MONTHLY;BYMONTHDAY=32', 'number-out-of-range', 'BYMONTHDAY=32'],
    ['FREQ=MONTHLY;BYMONTHDAY=0', 'number-out-of-range', 'BYMONTHDAY=0'],
    ['FREQ=YEARLY;BYMONTH=-1', 'number-out-of-range', 'BYMONTH=-1'],
    ['FREQ=WEEKLY;BYDAY=MU', 'weekday-unknown', 'MU'],
    ['FREQ=MONTHLY;BYDAY=54MO', 'number-out-of-range', '54MO'],
    ['FREQ=MONTHLY;BYDAY=-MO', 'weekday-unknown', '-MO'],
    ['FREQ=WEEKLY;WKST=XX', 'weekday-unknown', 'WKST=XX'],
    ['FREQ=DAILY;COUNT=2;UNTIL=20260101', 'count-and-until', 'UNTIL'],
    ['FREQ=DAILY;UNTIL=20260229', 'date-unknown', 'UNTIL=20260229'],
    ['FREQ=DAILY;UNTIL=20260101T000000Z', 'until-needs-zone', 'UNTIL=20260101T000000Z'],
    ['FREQ=MONTHLY;BYWEEKNO=3', 'part-not-with-frequency', 'BYWEEKNO'],
    ['FREQ=WEEKLY;BYMONTHDAY=3', 'part-not-with-frequency', 'BYMONTHDAY'],
    ['FREQ=DAILY;BYYEARDAY=3', 'part-not-with-frequency', 'BYYEARDAY'],
    ['FREQ=WEEKLY;BYDAY=1MO', 'numbered-weekday-not-here', 'BYDAY'],
    ['FREQ=YEARLY;BYWEEKNO=3;BYDAY=1MO', 'numbered-weekday-not-here', 'BYDAY'],
    ['FREQ=MONTHLY;BYSETPOS=1', 'position-alone', 'BYSETPOS'],
  ])('says what is wrong with "%s"', (text, problem, part) => {
    expect(parseRule(text)).toEqual({ ok: false, problem, part });
  });

  it('reads small letters, a leading name and plus signs', () => {
    expect(formatRule(ruleOf('rrule:freq=monthly;byday=+1fr,-1fr;wkst=mo'))).toBe(
      'FREQ=MONTHLY;BYDAY=1FR,-1FR',
    );
  });
});

describe('far from the start', () => {
  it('finds the same dates as counting from the start, for 300 random rules', () => {
    const random = randomFrom(1582);
    for (let i = 0; i < 300; i += 1) {
      const rule = ruleOf(randomRule(random));
      const start = fromDay(between(random, 0, 9000));
      const far = fromDay(toDay(start) + between(random, 4000, 9000));
      const end = fromDay(toDay(far) + 800);
      const replayed = datesBetween(rule, start, start, end).filter((date) => date > far);
      expect({ rule, start, far, date: nextDate(rule, start, far) ?? 'none' }).toEqual({
        rule,
        start,
        far,
        date: replayed[0] ?? nextDate(rule, start, end) ?? 'none',
      });
    }
  });
});
