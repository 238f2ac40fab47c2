import { describe, expect, test } from 'vitest';
import { NEVER, type CafeHours, type WeekSpans } from '../../../src/cafe/hours.ts';
import { isCold, situationOf } from '../../../src/faults/situation.ts';
import { tradeHours } from '../../../src/faults/trade-hours.ts';
import { contractOf } from '../../../src/faults/barred.ts';
import { instant } from '../../../src/time/instant.ts';

const every = (from: number, to: number): WeekSpans => [[{ from, to }], [{ from, to }], [{ from, to }], [{ from, to }], [{ from, to }], [{ from, to }], [{ from, to }]];
/** Open 8 to 18 every day, rush 8 to 10; the zone has no clock changes. */
const HOURS: CafeHours = { zone: 'UTC', week: { days: every(480, 1080), holidays: [] }, exceptions: [], holidays: new Set(), cleaningMinutes: 30, quiet: null, rush: every(480, 600) };
const at = (time: string) => instant(Date.parse(`2027-03-09T${time}:00Z`));
const drinks = (hours: ReturnType<typeof tradeHours>): number => hours.reduce((sum, { minutes, coffeesAnHour }) => sum + (minutes / 60) * coffeesAnHour, 0);

describe('what a group less costs hangs on the hour of trade', () => {
  test('the rush takes its drinks and the rest of the day the others; the day stays whole', () => {
    const hours = tradeHours(HOURS, { drinksDay: 200, drinksHour: 60 }, at('00:00')).slice(0, 2);
    expect(hours).toEqual([{ startsIn: 480, minutes: 120, coffeesAnHour: 60 }, { startsIn: 600, minutes: 480, coffeesAnHour: 10 }]);
    expect(drinks(hours)).toBeCloseTo(200, 9);
  });

  test('without a busiest hour, or without a rush, trade is even', () => {
    expect(tradeHours(HOURS, { drinksDay: 200 }, at('00:00')).slice(0, 2).map(({ coffeesAnHour }) => coffeesAnHour)).toEqual([20, 20]);
    expect(tradeHours({ ...HOURS, rush: NEVER }, { drinksDay: 200, drinksHour: 60 }, at('00:00'))[0]).toEqual({ startsIn: 480, minutes: 600, coffeesAnHour: 20 });
  });

  test('more in the rush than in the whole day leaves none for the rest, never less than none', () => {
    const hours = tradeHours(HOURS, { drinksDay: 100, drinksHour: 90 }, at('00:00')).slice(0, 2);
    expect(hours.map(({ coffeesAnHour }) => coffeesAnHour)).toEqual([50, 0]);
  });

  test('in the middle of the rush only what is left of it counts', () => {
    expect(tradeHours(HOURS, { drinksDay: 200, drinksHour: 60 }, at('09:30'))[0]).toEqual({ startsIn: 0, minutes: 30, coffeesAnHour: 60 });
  });
});

test('fees are the café\'s own where it gave them, and left out where it did not', () => {
  const bar = { groups: 2, hours: HOURS, cold: false, trained: true, barred: [] };
  expect(situationOf({ ...bar, trade: {} }, at('12:00')).money).toEqual({});
  expect(situationOf({ ...bar, trade: { callOut: 90, outOfHoursExtra: 70, cancelFee: 0, staffHour: 14, margin: 2 } }, at('12:00')).money).toEqual({ callFee: 90, outOfHoursExtra: 70, cancelFee: 0, staffAnHour: 14, margin: 2 });
});

describe('nobody is sent to open a hot machine', () => {
  const figures = { cool: 180, heat: 40, offAtNight: 'yes' } as const;

  test.each([
    ['in service', '12:00', false],
    ['just closed, still hot', '19:00', false],
    ['three hours after closing', '21:00', true],
    ['deep in the night', '03:00', true],
    ['when somebody is about to switch it on', '06:30', false],
  ] as const)('%s', (_what, time, cold) => {
    expect(isCold(HOURS, figures, at(time))).toBe(cold);
  });

  test('left on at night, or not known, or hours not known: never taken for cold', () => {
    for (const offAtNight of ['no', null] as const) expect(isCold(HOURS, { ...figures, offAtNight }, at('03:00'))).toBe(false);
    expect(isCold(null, figures, at('03:00'))).toBe(false);
  });
});

test('the usual time until a technician comes is taken where it is known', () => {
  const bar = { groups: 2, hours: HOURS, trade: {}, cold: false, trained: true, barred: [] };
  expect(situationOf({ ...bar, technicianMinutes: 300 }, at('12:00')).technicianIn).toBe(300);
  expect(situationOf(bar, at('12:00')).technicianIn).toBe(1440);
});

test('only somebody else\'s machine has a technician of its own', () => {
  expect(['warranty', 'lease', 'loan', 'own', null, undefined].map(contractOf)).toEqual(['warranty', 'lease', 'loan', null, null, null]);
});
