import { describe, expect, it } from 'vitest';
import { degreesOfHour } from '../../src/seals/clock-hour.ts';
import { driftBelief, type DriftReading } from '../../src/seals/drift-belief.ts';
import { driftForecast, staysBefore, theilSen } from '../../src/seals/drift.ts';
import { outlook } from '../../src/seals/outlook.ts';
import { wornShare } from '../../src/seals/wear.ts';
import { assumed } from './assumed.ts';

const { orderDegrees } = assumed.handle;
const weekly = (hours: readonly number[]): readonly DriftReading[] =>
  hours.map((hour, i) => ({ ageDays: 7 * (i + 1), at: { kind: 'angle', degrees: degreesOfHour(hour) } }));
const forecast = (readings: readonly DriftReading[], ageDays: number) =>
  driftForecast(driftBelief(readings, undefined, assumed), ageDays, orderDegrees, assumed);

describe('the creep of a handle', () => {
  it('is the assumed one before anything was read', () => {
    const { degreesPerWeek, medianAgeDays } = forecast([], 0);
    expect(degreesPerWeek).toBeGreaterThan(0.9);
    expect(degreesPerWeek).toBeLessThan(1.1);
    // From 12 degrees left to 30 right at 0.9 a week: about 47 weeks, less what the ring beds in.
    expect(medianAgeDays / 7).toBeGreaterThan(38);
    expect(medianAgeDays / 7).toBeLessThan(70);
  });

  it('is seen through readings that stand on one quarter for weeks', () => {
    const hours = [6.25, 6.25, 6.25, 6.25, 6, 6, 6, 6, 6, 5.75, 5.75, 5.75];
    const { degreesPerWeek } = forecast(weekly(hours), 84);
    expect(degreesPerWeek).toBeGreaterThan(0.6);
    expect(degreesPerWeek).toBeLessThan(1.6);
    // The cross-check has the same sign but sticks to the steps of the clock.
    expect(theilSen(hours.map((hour, i) => ({ x: i + 1, y: degreesOfHour(hour) })))).toBeGreaterThan(0);
  });

  it('ends sooner for a handle that moves faster, and knows one at the limit', () => {
    const slow = forecast(weekly([6.5, 6.5, 6.25, 6.25, 6.25, 6.25, 6.25, 6]), 56);
    const fast = forecast(weekly([6.5, 6.25, 6.25, 6, 6, 5.75, 5.5, 5.5]), 56);
    expect(fast.medianAgeDays).toBeLessThan(slow.medianAgeDays);
    const there = forecast(weekly([6, 5.75, 5.5, 5.5, 5.25, 5.25, 5, 4.75, 4.75, 4.75]), 70);
    expect(there.pastAlready).toBeGreaterThan(0.8);
    expect(there.nowDegrees).toBeGreaterThan(30);
  });

  it('takes "against the stop" for at least that far', () => {
    const stop: DriftReading = { ageDays: 70, at: { kind: 'stop' } };
    const readings = weekly([6, 5.75, 5.5, 5.25, 5, 4.75]);
    expect(forecast([...readings, stop, stop], 70).pastAlready).toBeGreaterThan(forecast(readings, 70).pastAlready);
  });

  it('is not overturned by one slip of the eye', () => {
    const hours = [6.5, 6.25, 6.25, 6.25, 6, 6, 6, 6];
    const honest = forecast(weekly(hours), 56);
    const slipped = forecast([...weekly(hours), { ageDays: 57, at: { kind: 'angle', degrees: degreesOfHour(8) } }], 57);
    expect(Math.abs(honest.nowDegrees - slipped.nowDegrees)).toBeLessThan(5);
  });

  it('starts from where the size advice expects the new ring', () => {
    const near = driftBelief([], { degrees: -12, spreadDegrees: 3 }, assumed);
    const far = driftBelief([], { degrees: 10, spreadDegrees: 3 }, assumed);
    expect(staysBefore(near, 100, orderDegrees, assumed)).toBeGreaterThan(staysBefore(far, 100, orderDegrees, assumed));
  });

  it('never goes back: the chance of standing before the limit only falls', () => {
    const belief = driftBelief(weekly([6.25, 6.25, 6, 6]), undefined, assumed);
    for (let age = 0; age < 700; age += 7) {
      expect(staysBefore(belief, age + 7, orderDegrees, assumed)).toBeLessThanOrEqual(
        staysBefore(belief, age, orderDegrees, assumed) + 1e-12,
      );
    }
  });

  it('finds the rate of a handle that creeps as assumed, read without error', () => {
    const readings = Array.from({ length: 26 }, (_, i): DriftReading => {
      const ageDays = 7 * (i + 1);
      const degrees = Math.round((-10 + 1.4 * 26 * wornShare(ageDays, assumed.wear)) / 7.5) * 7.5;
      return { ageDays, at: { kind: 'angle', degrees } };
    });
    expect(forecast(readings, 182).degreesPerWeek).toBeCloseTo(1.4, 0);
    expect(Math.abs(forecast(readings, 182).nowDegrees - 26.4)).toBeLessThan(3);
  });
});

describe('the median of the pairwise slopes', () => {
  // EPA Unified Guidance 2009, example 17-6, sulfate: slope 26.6667, as printed by the R package EnvStats (read in
  // its manual page). The x values are taken as tabulated, although 90.6 means June 1990.
  it('is the published one for the sulfate data', () => {
    const x = [89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6, 95.8, 96.1, 96.3, 96.6, 96.8];
    const y = [480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830, 720, 590];
    expect(theilSen(x.map((value, i) => ({ x: value, y: y[i] as number })))).toBeCloseTo(26.6666667, 5);
  });

  it('shrugs off an outlier (Helsel and Hirsch style series, slope 1, from memory)', () => {
    expect(theilSen([1, 2, 3, 4, 5, 16, 7].map((y, i) => ({ x: i + 1, y })))).toBe(1);
  });

  it('sticks at nothing when most readings tie', () => {
    expect(theilSen([0, 0, 0, 0, 0, 7.5].map((y, x) => ({ x, y })))).toBe(0);
    expect(theilSen([{ x: 1, y: 2 }])).toBeNaN();
  });
});

describe('seal and handle together', () => {
  const seal = (days: number): number => Math.exp(-days / 100);
  const handle = (days: number): number => (days < 30 ? 1 : Math.exp(-(days - 30) / 20));

  it('stay only if both stay', () => {
    expect(outlook(seal, handle).stays(50)).toBeCloseTo(seal(50) * handle(50), 12);
  });

  it('name the one that is likelier to end the ring', () => {
    expect(outlook(seal, handle).larger(20)).toBe('seal');
    expect(outlook(seal, handle).larger(60)).toBe('handle');
  });
});
