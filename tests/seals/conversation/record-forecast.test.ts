import { describe, expect, test } from 'vitest';
import { assumedPrior } from '../../../src/seals/life.ts';
import { causeChances, knownAnswers } from '../../../src/seals/record-chances.ts';
import { fitRingsOf, groupRecordOf, sinceOf, type GroupHistory, type Reading } from '../../../src/seals/record-evidence.ts';
import { costsWithLooks, forecastGroups, nextSize, nextStack, repeatsOf, type SealForecast } from '../../../src/seals/record-forecast.ts';
import { judge } from '../../../src/seals/record-verdict.ts';
import { assumed } from '../assumed.ts';
import { seeded } from '../random.ts';

const DAY = 86_400_000;
const NOW = 400 * DAY;
type Look = readonly [daysAgo: number, handle: string, feel: string, finger: string];

const readingsOf = (looks: readonly Look[], state: Reading['state'] = 'cold'): readonly Reading[] =>
  looks.flatMap(([ago, ...values], i) => (['handle', 'feel', 'finger'] as const).map((what, k) => ({ what, value: values[k] as string, state, at: NOW - ago * DAY, look: `${state}${i}` })));

const group = (ageDays: number | null, looks: readonly Look[]): GroupHistory => ({
  seals: [{ fittedAt: ageDays === null ? null : NOW - ageDays * DAY, metAt: NOW - (ageDays ?? 28) * DAY, outAt: null, sizeMm: 8, shimMm: 0, material: 'rubber', whyOut: null, cameOut: null }],
  readings: readingsOf(looks),
});

const forecastOf = (history: GroupHistory): SealForecast => forecastGroups([history], () => 1, assumedPrior(assumed.life), assumed, NOW)[0] as SealForecast;
const told = (history: GroupHistory, look: string) => judge({ history, look, state: 'cold', forecast: forecastOf(history), fit: nextSize(history, [], assumed, NOW), next: nextStack(history, nextSize(history, [], assumed, NOW), assumed, NOW), staffMayChange: true, wasOut: false }, assumed, NOW);

describe('what a record comes to', () => {
  test('a failure costs less where looks find it: the closed form agrees with 40,000 simulated failures (seed 11)', () => {
    const random = seeded(11);
    const { lookEveryDays } = assumed.change;
    const { leakAfterDays, badWhenFailed } = assumed.looks;
    let caught = 0;
    const runs = 40_000;
    for (let i = 0; i < runs; i++) {
      const leaks = random.exponential(leakAfterDays);
      for (let look = lookEveryDays * random.uniform(); look < leaks; look += lookEveryDays)
        if (random.chance(badWhenFailed)) {
          caught++;
          break;
        }
    }
    const simulated = 1 * (caught / runs) + assumed.change.failureToPlanned * (1 - caught / runs);
    expect(costsWithLooks(assumed).failed).toBeCloseTo(simulated, 1);
    expect(costsWithLooks(assumed).failed).toBeGreaterThan(1);
  });

  test('a seal looked at every week is kept for months, inside what the trade calls usual', () => {
    const weekly = (weeks: number): readonly Look[] => Array.from({ length: weeks }, (_, i): Look => [7 * (weeks - 1 - i), '-15', 'soft', 'clean']);
    const young = forecastOf(group(28, weekly(4)));
    // Three to six months for a rubber seal in a busy café: common practice, no source.
    expect(28 + young.change.inDays).toBeGreaterThan(90);
    expect(28 + young.change.inDays).toBeLessThan(183);
    expect(forecastOf(group(140, weekly(20))).change.inDays).toBeLessThan(young.change.inDays);
  });

  test('without looks it is changed earlier, since nobody would see it fail', () => {
    expect(forecastOf(group(60, [])).change.inDays).toBeLessThan(forecastOf(group(60, [[1, '-15', 'soft', 'clean']])).change.inDays);
  });

  test('hard and black in the first look of all is believed, because it may have failed before anybody looked', () => {
    const history = group(null, [[0, '30', 'hard', 'black']]);
    expect(told(history, 'cold0').kind).toBe('change-now');
    expect(told(group(null, [[0, '-15', 'soft', 'clean']]), 'cold0').kind).toBe('keep');
  });

  test('a worn seal far right is followed by the same size, never by a thicker one', () => {
    const weekly = Array.from({ length: 16 }, (_, i): Look => [7 * (15 - i), String(-15 + 15 * Math.floor(i / 5)), 'soft', 'clean']);
    const verdict = told(group(112, weekly), 'cold15');
    expect(verdict.size).toMatchObject({ sealMm: 8, shimMm: 0, same: true });
  });

  test('a new seal far left is followed by a thinner stack, a new one far right by a thicker one', () => {
    const young = (handle: string) => told(group(10, [[3, handle, 'soft', 'clean'], [1, handle, 'soft', 'clean']]), 'cold1');
    expect(young('-30').kind).toBe('out-of-use');
    expect((young('-30').size?.sealMm ?? 9) + (young('-30').size?.shimMm ?? 0)).toBeLessThan(8);
    expect((young('30').size?.sealMm ?? 0) + (young('30').size?.shimMm ?? 0)).toBeGreaterThan(8);
  });

  test('like follows like while no new seal was read, and it is said not to be sure', () => {
    expect(told(group(null, [[0, '30', 'soft', 'clean']]), 'cold0').size).toEqual({ sealMm: 8, shimMm: 0, same: true, sure: false });
  });

  test('a handle that stands where it may blow out is never answered with the same size, whatever the age of the seal', () => {
    for (const age of [null, 60, 200]) {
      const verdict = told(group(age, [[0, '-30', 'soft', 'clean']]), 'cold0');
      expect(verdict.kind).toBe('out-of-use');
      expect((verdict.size?.sealMm ?? 0) + (verdict.size?.shimMm ?? 0)).toBeLessThan(8);
      expect(verdict.size?.sure ?? false).toBe(false);
    }
  });

  test('readings of a hot machine are not mixed with those of a cold one', () => {
    const cold = group(20, [[14, '-15', 'soft', 'clean'], [7, '-15', 'soft', 'clean']]);
    const mixed = { ...cold, readings: [...cold.readings, ...readingsOf([[1, '15', '', '']], 'hot')] };
    expect(fitRingsOf(mixed, NOW)[0]?.readings).toHaveLength(2);
  });

  test('a look with the handle alone says nothing of the seal', () => {
    const only = group(20, [[1, '-15', 'none', 'none']]);
    expect(groupRecordOf(only, () => 1, NOW).current?.looks).toEqual([]);
    expect(sinceOf(only, NOW).felt).toBeCloseTo(20, 6);
  });

  test('the record moves the chance of a worn seal the way the looks point, and by nothing where there are none', () => {
    const ratio = (history: GroupHistory): number => {
      const [chance] = causeChances({ history, forecast: forecastOf(history), pace: 1 }, assumed, NOW);
      return (chance?.now ?? 0) / (chance?.usual ?? 1);
    };
    expect(causeChances({ history: group(90, []), forecast: forecastOf(group(90, [])), pace: 1 }, assumed, NOW)).toEqual([]);
    expect(ratio(group(90, [[20, '-15', 'soft', 'clean'], [1, '0', 'hard', 'black']]))).toBeGreaterThan(1.5);
    expect(ratio(group(90, [[1, '-15', 'soft', 'clean']]))).toBeLessThan(1);
  });

  test('handles read again within days tell how they are read; a week apart they may have moved', () => {
    expect(repeatsOf(group(60, [[40, '0', 'soft', 'clean'], [38, '15', 'soft', 'clean'], [30, '0', 'soft', 'clean'], [23, '15', 'soft', 'clean']]), NOW)).toEqual([[0, 15]]);
    expect(repeatsOf(group(null, [[2, '0', 'soft', 'clean'], [1, '15', 'soft', 'clean']]), NOW)).toEqual([]);
  });

  test('how two sizes stood on the group beside it moves where a size is expected to stand here', () => {
    const history = group(20, [[15, '15', 'soft', 'clean'], [8, '15', 'soft', 'clean']]);
    const beside = (degrees: string): GroupHistory => {
      const seal = history.seals[0] as GroupHistory['seals'][number];
      const first = { ...seal, fittedAt: NOW - 200 * DAY, metAt: NOW - 200 * DAY, outAt: NOW - 100 * DAY, sizeMm: 7.5 };
      const second = { ...seal, fittedAt: NOW - 100 * DAY, metAt: NOW - 100 * DAY, sizeMm: 8 };
      return { seals: [first, second], readings: [...readingsOf([[190, '15', 'soft', 'clean']]), ...readingsOf([[90, degrees, 'soft', 'clean']], 'cold').map((each) => ({ ...each, look: 'second' }))] };
    };
    const at = (others: readonly GroupHistory[]): number => nextSize(history, others, assumed, NOW)?.options.find(({ stack }) => stack.sealMm === 8.5 && stack.shimMm === 0)?.degrees ?? Number.NaN;
    expect(at([beside('-30')])).toBeLessThan(at([beside('0')]));
  });

  test('what a look answered is not asked again, unless it is old', () => {
    const history = group(90, [[2, '15', 'soft', 'clean']]);
    expect(knownAnswers({ history }, NOW)).toEqual([{ question: 'seal-age', answer: 'months', at: expect.any(Number) }, { question: 'handle-position', answer: 'right', at: expect.any(Number) }]);
    expect(knownAnswers({ history: group(null, [[20, '15', 'soft', 'clean']]) }, NOW)).toEqual([]);
  });
});
