import { expect, test } from 'vitest';
import { fromDay, toDay, localDate, type DayNumber } from '../../src/time/local-date.ts';
import { datesBetween, nextDay } from '../../src/time/recurrence.ts';
import { plainFrom } from '../../src/time/recurrence-plain.ts';
import { parseRule } from '../../src/time/recurrence-text.ts';

const SEED = 20261125;
const seeded = (seed: number) => {
  let state = seed;
  return (below: number): number => {
    state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
    return Math.floor((state / 2_147_483_648) * below);
  };
};
const DAYS = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'];

test(`what is counted out equals what is searched, on 4,000 random rules (seed ${SEED})`, () => {
  const below = seeded(SEED);
  const some = (most: number): readonly string[] => [...new Set(Array.from({ length: 1 + below(most) }, () => DAYS[below(7)] ?? 'MO'))];
  const nth = (): number => [1, 2, 3, 4, 5, -1, -2, -5][below(8)] ?? 1;
  let compared = 0;
  for (let round = 0; round < 4000; round += 1) {
    const interval = below(3) === 0 ? `;INTERVAL=${1 + below(9)}` : '';
    const ends = ['', '', `;COUNT=${1 + below(40)}`, `;UNTIL=${2020 + below(10)}0${1 + below(9)}15`][below(4)] ?? '';
    const week = below(3) === 0 ? `;WKST=${DAYS[below(7)]}` : '';
    const text = [`FREQ=DAILY${interval}`, `FREQ=WEEKLY${interval}`, `FREQ=WEEKLY${interval};BYDAY=${some(4).join(',')}`, `FREQ=MONTHLY${interval};BYDAY=${some(2).map((day) => `${nth()}${day}`).join(',')}`][below(4)] ?? '';
    const parsed = parseRule(`${text}${ends}${week}`);
    if (!parsed.ok) throw new Error(`${text}${ends}${week}: ${parsed.problem}`);
    const start: DayNumber = toDay(localDate('2019-01-01')) + below(900);
    const after = start - 40 + below(2500);
    // The search that lists dates does not use what is counted out.
    const [searched] = datesBetween(parsed.rule, fromDay(start), fromDay(after + 1), fromDay(after + 3700));
    const counted = nextDay(parsed.rule, start, after);
    expect(counted === null ? undefined : fromDay(counted), `${text}${ends}${week} from ${fromDay(start)} after ${fromDay(after)}`).toBe(searched);
    compared += 1;
  }
  expect(compared).toBe(4000);
});

test.each(['FREQ=DAILY;BYMONTH=2', 'FREQ=MONTHLY;BYMONTHDAY=31', 'FREQ=MONTHLY;BYDAY=MO', 'FREQ=YEARLY;BYDAY=1MO', 'FREQ=MONTHLY;BYDAY=MO,TU;BYSETPOS=-1'])('%s is searched, not counted out', (text) => {
  const parsed = parseRule(text);
  expect(parsed.ok && plainFrom(parsed.rule, 0, 100, 100_000)).toBeUndefined();
});
