import { describe, expect, it } from 'vitest';
import { type LocalDate, localDate } from '../../src/time/local-date.ts';
import { datesBetween, nextDate } from '../../src/time/recurrence.ts';
import type { Rule } from '../../src/time/recurrence-rule.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';
import { instantOf, localTime } from '../../src/time/wall-time.ts';

// The examples of RFC 5545 (September 2009) section 3.8.5.3, pages 124 to 132, with their printed
// dates, all in America/New_York at 09:00 (printed "EDT" is UTC-4, "EST" UTC-5). Read in the text
// of the standard, except those marked "from memory". An ellipsis in the standard is `goesOn`.
const ZONE = 'America/New_York';
const TIME = localTime('09:00');

type Example = {
  readonly what: string;
  readonly start: string;
  readonly rules: readonly string[];
  readonly printed: readonly string[];
  readonly goesOn?: true;
};

const EXAMPLES: readonly Example[] = [
  {
    what: 'R1 daily for 10 occurrences',
    start: '1997-09-02',
    rules: ['FREQ=DAILY;COUNT=10'],
    printed: ['EDT 1997-09: 2-11'],
  },
  {
    what: 'R2 daily until December 24, 1997',
    start: '1997-09-02',
    rules: ['FREQ=DAILY;UNTIL=19971224T000000Z'],
    printed: ['EDT 1997-09: 2-30', 'EDT 1997-10: 1-25', 'EST 1997-10: 26-31', 'EST 1997-11: 1-30',
      'EST 1997-12: 1-23'],
  },
  {
    what: 'R3 every other day',
    start: '1997-09-02',
    rules: ['FREQ=DAILY;INTERVAL=2'],
    printed: ['EDT 1997-09: 2,4,6,8,10,12,14,16,18,20,22,24,26,28,30',
      'EDT 1997-10: 2,4,6,8,10,12,14,16,18,20,22,24', 'EST 1997-10: 26,28,30',
      'EST 1997-11: 1,3,5,7,9,11,13,15,17,19,21,23,25,27,29', 'EST 1997-12: 1,3'],
    goesOn: true,
  },
  {
    what: 'R4 every 10 days, 5 occurrences',
    start: '1997-09-02',
    rules: ['FREQ=DAILY;INTERVAL=10;COUNT=5'],
    printed: ['EDT 1997-09: 2,12,22', 'EDT 1997-10: 2,12'],
  },
  {
    what: 'R5 every day in January, for three years',
    start: '1998-01-01',
    rules: [
      'FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA',
      'FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1',
    ],
    printed: ['EST 1998-01: 1-31', 'EST 1999-01: 1-31', 'EST 2000-01: 1-31'],
  },
  {
    what: 'R6 weekly for 10 occurrences',
    start: '1997-09-02',
    rules: ['FREQ=WEEKLY;COUNT=10'],
    printed: ['EDT 1997-09: 2,9,16,23,30', 'EDT 1997-10: 7,14,21', 'EST 1997-10: 28',
      'EST 1997-11: 4'],
  },
  {
    what: 'R7 weekly until December 24, 1997',
    start: '1997-09-02',
    rules: ['FREQ=WEEKLY;UNTIL=19971224T000000Z'],
    printed: ['EDT 1997-09: 2,9,16,23,30', 'EDT 1997-10: 7,14,21', 'EST 1997-10: 28',
      'EST 1997-11: 4,11,18,25', 'EST 1997-12: 2,9,16,23'],
  },
  {
    what: 'R8 every other week, forever',
    start: '1997-09-02',
    rules: ['FREQ=WEEKLY;INTERVAL=2;WKST=SU'],
    printed: ['EDT 1997-09: 2,16,30', 'EDT 1997-10: 14', 'EST 1997-10: 28', 'EST 1997-11: 11,25',
      'EST 1997-12: 9,23', 'EST 1998-01: 6,20', 'EST 1998-02: 3,17'],
    goesOn: true,
  },
  {
    what: 'R9 weekly on Tuesday and Thursday for five weeks',
    start: '1997-09-02',
    rules: [
      'FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH',
      'FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH',
    ],
    printed: ['EDT 1997-09: 2,4,9,11,16,18,23,25,30', 'EDT 1997-10: 2'],
  },
  {
    what: 'R10 every other week on Monday, Wednesday and Friday until December 24, 1997',
    start: '1997-09-01',
    rules: ['FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR'],
    printed: ['EDT 1997-09: 1,3,5,15,17,19,29', 'EDT 1997-10: 1,3,13,15,17',
      'EST 1997-10: 27,29,31', 'EST 1997-11: 10,12,14,24,26,28', 'EST 1997-12: 8,10,12,22'],
  },
  {
    what: 'R11 every other week on Tuesday and Thursday, for 8 occurrences',
    start: '1997-09-02',
    rules: ['FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH'],
    printed: ['EDT 1997-09: 2,4,16,18,30', 'EDT 1997-10: 2,14,16'],
  },
  {
    what: 'R12 monthly on the first Friday for 10 occurrences',
    start: '1997-09-05',
    rules: ['FREQ=MONTHLY;COUNT=10;BYDAY=1FR'],
    printed: ['EDT 1997-09: 5', 'EDT 1997-10: 3', 'EST 1997-11: 7', 'EST 1997-12: 5',
      'EST 1998-01: 2', 'EST 1998-02: 6', 'EST 1998-03: 6', 'EST 1998-04: 3', 'EDT 1998-05: 1',
      'EDT 1998-06: 5'],
  },
  {
    what: 'monthly on the first Friday until December 24, 1997 (from memory)',
    start: '1997-09-05',
    rules: ['FREQ=MONTHLY;UNTIL=19971224T000000Z;BYDAY=1FR'],
    printed: ['EDT 1997-09: 5', 'EDT 1997-10: 3', 'EST 1997-11: 7', 'EST 1997-12: 5'],
  },
  {
    what: 'R13 every other month on the first and last Sunday for 10 occurrences',
    start: '1997-09-07',
    rules: ['FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU'],
    printed: ['EDT 1997-09: 7,28', 'EST 1997-11: 2,30', 'EST 1998-01: 4,25', 'EST 1998-03: 1,29',
      'EDT 1998-05: 3,31'],
  },
  {
    what: 'R14 monthly on the second-to-last Monday for 6 months',
    start: '1997-09-22',
    rules: ['FREQ=MONTHLY;COUNT=6;BYDAY=-2MO'],
    printed: ['EDT 1997-09: 22', 'EDT 1997-10: 20', 'EST 1997-11: 17', 'EST 1997-12: 22',
      'EST 1998-01: 19', 'EST 1998-02: 16'],
  },
  {
    what: 'R15 monthly on the third-to-the-last day, forever',
    start: '1997-09-28',
    rules: ['FREQ=MONTHLY;BYMONTHDAY=-3'],
    printed: ['EDT 1997-09: 28', 'EST 1997-10: 29', 'EST 1997-11: 28', 'EST 1997-12: 29',
      'EST 1998-01: 29', 'EST 1998-02: 26'],
    goesOn: true,
  },
  {
    what: 'R16 monthly on the 2nd and 15th for 10 occurrences',
    start: '1997-09-02',
    rules: ['FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15'],
    printed: ['EDT 1997-09: 2,15', 'EDT 1997-10: 2,15', 'EST 1997-11: 2,15', 'EST 1997-12: 2,15',
      'EST 1998-01: 2,15'],
  },
  {
    what: 'R17 monthly on the first and last day for 10 occurrences',
    start: '1997-09-30',
    rules: ['FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1'],
    printed: ['EDT 1997-09: 30', 'EDT 1997-10: 1', 'EST 1997-10: 31', 'EST 1997-11: 1,30',
      'EST 1997-12: 1,31', 'EST 1998-01: 1,31', 'EST 1998-02: 1'],
  },
  {
    what: 'R18 every 18 months on the 10th to 15th for 10 occurrences',
    start: '1997-09-10',
    rules: ['FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15'],
    printed: ['EDT 1997-09: 10-15', 'EST 1999-03: 10-13'],
  },
  {
    what: 'R19 every Tuesday, every other month',
    start: '1997-09-02',
    rules: ['FREQ=MONTHLY;INTERVAL=2;BYDAY=TU'],
    printed: ['EDT 1997-09: 2,9,16,23,30', 'EST 1997-11: 4,11,18,25', 'EST 1998-01: 6,13,20,27',
      'EST 1998-03: 3,10,17,24,31'],
    goesOn: true,
  },
  {
    what: 'R20 yearly in June and July for 10 occurrences',
    start: '1997-06-10',
    rules: ['FREQ=YEARLY;COUNT=10;BYMONTH=6,7'],
    printed: [1997, 1998, 1999, 2000, 2001].flatMap((y) => [`EDT ${y}-06: 10`, `EDT ${y}-07: 10`]),
  },
  {
    what: 'every other year in January, February and March for 10 occurrences (from memory)',
    start: '1997-03-10',
    rules: ['FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3'],
    printed: ['EST 1997-03: 10', ...[1999, 2001, 2003].flatMap((y) =>
      ['01', '02', '03'].map((m) => `EST ${y}-${m}: 10`))],
  },
  {
    what: 'R21 every third year on the 1st, 100th and 200th day for 10 occurrences',
    start: '1997-01-01',
    rules: ['FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200'],
    printed: ['EST 1997-01: 1', 'EDT 1997-04: 10', 'EDT 1997-07: 19', 'EST 2000-01: 1',
      'EDT 2000-04: 9', 'EDT 2000-07: 18', 'EST 2003-01: 1', 'EDT 2003-04: 10', 'EDT 2003-07: 19',
      'EST 2006-01: 1'],
  },
  {
    what: 'R22 every 20th Monday of the year, forever (erratum 1913)',
    start: '1997-05-19',
    rules: ['FREQ=YEARLY;BYDAY=20MO'],
    printed: ['EDT 1997-05: 19', 'EDT 1998-05: 18', 'EDT 1999-05: 17'],
    goesOn: true,
  },
  {
    what: 'R23 Monday of week number 20, forever',
    start: '1997-05-12',
    rules: ['FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO'],
    printed: ['EDT 1997-05: 12', 'EDT 1998-05: 11', 'EDT 1999-05: 17'],
    goesOn: true,
  },
  {
    what: 'every Thursday in March, forever (from memory)',
    start: '1997-03-13',
    rules: ['FREQ=YEARLY;BYMONTH=3;BYDAY=TH'],
    printed: ['EST 1997-03: 13,20,27', 'EST 1998-03: 5,12,19,26', 'EST 1999-03: 4,11,18,25'],
    goesOn: true,
  },
  {
    what: 'every Thursday, but only in June, July and August, forever (from memory)',
    start: '1997-06-05',
    rules: ['FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8'],
    printed: ['EDT 1997-06: 5,12,19,26', 'EDT 1997-07: 3,10,17,24,31', 'EDT 1997-08: 7,14,21,28',
      'EDT 1998-06: 4,11,18,25', 'EDT 1998-07: 2,9,16,23,30', 'EDT 1998-08: 6,13,20,27',
      'EDT 1999-06: 3,10,17,24', 'EDT 1999-07: 1,8,15,22,29', 'EDT 1999-08: 5,12,19,26'],
    goesOn: true,
  },
  {
    // The standard takes its start out again with EXDATE; here a start off the rule never counts.
    what: 'R24 every Friday the 13th, forever',
    start: '1997-09-02',
    rules: ['FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13'],
    printed: ['EST 1998-02: 13', 'EST 1998-03: 13', 'EST 1998-11: 13', 'EDT 1999-08: 13',
      'EDT 2000-10: 13'],
    goesOn: true,
  },
  {
    what: 'R25 the first Saturday that follows the first Sunday of the month, forever',
    start: '1997-09-13',
    rules: ['FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13'],
    printed: ['EDT 1997-09: 13', 'EDT 1997-10: 11', 'EST 1997-11: 8', 'EST 1997-12: 13',
      'EST 1998-01: 10', 'EST 1998-02: 7', 'EST 1998-03: 7', 'EDT 1998-04: 11', 'EDT 1998-05: 9',
      'EDT 1998-06: 13'],
    goesOn: true,
  },
  {
    what: 'R26 every 4 years, the first Tuesday after a Monday in November, forever',
    start: '1996-11-05',
    rules: ['FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8'],
    printed: ['EST 1996-11: 5', 'EST 2000-11: 7', 'EST 2004-11: 2'],
    goesOn: true,
  },
  {
    what: 'R27 the third of Tuesday, Wednesday or Thursday, for 3 months',
    start: '1997-09-04',
    rules: ['FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3'],
    printed: ['EDT 1997-09: 4', 'EDT 1997-10: 7', 'EST 1997-11: 6'],
  },
  {
    what: 'R28 the second-to-last weekday of the month',
    start: '1997-09-29',
    rules: ['FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2'],
    printed: ['EDT 1997-09: 29', 'EST 1997-10: 30', 'EST 1997-11: 27', 'EST 1997-12: 30',
      'EST 1998-01: 29', 'EST 1998-02: 26', 'EST 1998-03: 30'],
    goesOn: true,
  },
  {
    what: 'R32 every other week with the week starting on Monday',
    start: '1997-08-05',
    rules: ['FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO'],
    printed: ['EDT 1997-08: 5,10,19,24'],
  },
  {
    what: 'R33 the same with the week starting on Sunday',
    start: '1997-08-05',
    rules: ['FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU'],
    printed: ['EDT 1997-08: 5,17,19,31'],
  },
  {
    what: 'R34 a date that does not exist is left out (erratum 4271)',
    start: '2007-01-15',
    rules: ['FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5'],
    printed: ['EST 2007-01: 15,30', 'EST 2007-02: 15', 'EDT 2007-03: 15,30'],
  },
  {
    // Not in the standard: computed outside this project with another language's library.
    what: 'the last Friday of the month for 10 occurrences',
    start: '1997-09-26',
    rules: ['FREQ=MONTHLY;COUNT=10;BYDAY=-1FR'],
    printed: ['EDT 1997-09: 26', 'EST 1997-10: 31', 'EST 1997-11: 28', 'EST 1997-12: 26',
      'EST 1998-01: 30', 'EST 1998-02: 27', 'EST 1998-03: 27', 'EDT 1998-04: 24',
      'EDT 1998-05: 29', 'EDT 1998-06: 26'],
  },
];

type Printed = { readonly date: LocalDate; readonly utcHour: number };

/** 'EDT 1997-09: 2,4-6' as single dates. */
const spelledOut = (line: string): readonly Printed[] => {
  const [zone, month, list] = line.split(/:? /);
  const days = (list ?? '').split(',').flatMap((item) => {
    const [first, last = first] = item.split('-').map(Number);
    return Array.from({ length: (last ?? 0) - (first ?? 0) + 1 }, (_, i) => (first ?? 0) + i);
  });
  return days.map((day) => ({
    date: localDate(`${month}-${String(day).padStart(2, '0')}`),
    utcHour: zone === 'EDT' ? 13 : 14,
  }));
};

const ruleOf = (text: string): Rule => {
  const parsed = parseRule(text, { time: TIME, zone: ZONE });
  if (!parsed.ok) throw new Error(`${text}: ${parsed.problem} at ${parsed.part}`);
  return parsed.rule;
};

const walked = (rule: Rule, start: LocalDate, steps: number): readonly (LocalDate | null)[] => {
  const found: (LocalDate | null)[] = [];
  let at: LocalDate | null = localDate('1990-01-01');
  for (let i = 0; i < steps && at !== null; i += 1) {
    at = nextDate(rule, start, at);
    found.push(at);
  }
  return found;
};

const cases = EXAMPLES.flatMap(({ rules, ...rest }) => rules.map((text) => ({ ...rest, text })));

describe('worked examples of RFC 5545 section 3.8.5.3', () => {
  it.each(cases)('$what: $text', ({ start, text, printed, goesOn }) => {
    const rule = ruleOf(text);
    const wanted = printed.flatMap(spelledOut);
    const dates = wanted.map(({ date }) => date);
    const end = goesOn === true ? (dates.at(-1) ?? localDate(start)) : localDate('2030-12-31');
    expect(datesBetween(rule, localDate(start), localDate('1990-01-01'), end)).toEqual(dates);
    const after = goesOn === true ? [] : [null];
    expect(walked(rule, localDate(start), dates.length + after.length)).toEqual([...dates, ...after]);
    for (const { date, utcHour } of wanted)
      expect(new Date(instantOf(date, TIME, ZONE)).getUTCHours()).toBe(utcHour);
  });

  it('counts 113 dates to December 24, 1997, 54 of them in summer time', () => {
    const printed = EXAMPLES[1]?.printed.flatMap(spelledOut) ?? [];
    expect(printed).toHaveLength(113);
    expect(printed.filter(({ utcHour }) => utcHour === 13)).toHaveLength(54);
  });

  it.each([
    ['R29', 'FREQ=HOURLY;INTERVAL=3;UNTIL=19970902T210000Z'],
    ['R30', 'FREQ=MINUTELY;INTERVAL=15;COUNT=6'],
    ['R31', 'FREQ=MINUTELY;INTERVAL=90;COUNT=4'],
    ['every 20 minutes', 'FREQ=DAILY;BYHOUR=9,10,11,12,13,14,15,16;BYMINUTE=0,20,40'],
  ])('refuses %s, which repeats within a day', (_, text) => {
    expect(parseRule(text, { time: TIME, zone: ZONE })).toMatchObject({
      ok: false,
      problem: 'shorter-than-a-day',
    });
  });
});
