import { describe, expect, it } from 'vitest';
import { toQuarterHour } from '../../src/seals/clock-hour.ts';
import { learnedHalfYearMm, learnedReadingError, type WornRing } from '../../src/seals/learn-handle.ts';
import { learnedLooks } from '../../src/seals/learn-looks.ts';
import { assumedPrior } from '../../src/seals/life.ts';
import { expectedWear } from '../../src/seals/wear.ts';
import { assumed } from './assumed.ts';
import { drawCafes, weibullFleet } from './life-simulation.ts';
import { seeded } from './random.ts';

const prior = assumedPrior(assumed.life);
const { readingStepDegrees } = assumed.handle;

describe('the reading error', () => {
  const repeats = (error: number, sets: number, seed: number): readonly (readonly number[])[] => {
    const random = seeded(seed);
    return Array.from({ length: sets }, () => {
      const truth = random.between(-20, 30);
      return [0, 1, 2].map(() => toQuarterHour(truth + error * random.normal(), readingStepDegrees));
    });
  };

  it('is the assumed one before anything was repeated', () => {
    expect(learnedReadingError([], assumed.handle)).toBe(4);
    expect(learnedReadingError([[7.5], []], assumed.handle)).toBe(4);
  });

  it('is found again from repeats, rounding taken off', () => {
    expect(Math.abs(learnedReadingError(repeats(7, 200, 1), assumed.handle) - 7)).toBeLessThan(0.6);
    expect(Math.abs(learnedReadingError(repeats(4, 200, 2), assumed.handle) - 4)).toBeLessThan(0.4);
    expect(learnedReadingError(repeats(1.5, 200, 3), assumed.handle)).toBeLessThan(2.5);
  });

  it('never becomes nothing, however often people read the same quarter', () => {
    expect(learnedReadingError(Array.from({ length: 500 }, () => [7.5, 7.5, 7.5]), assumed.handle)).toBeGreaterThanOrEqual(1);
  });
});

describe('the wear at half a year', () => {
  const rings = (factor: number, count: number): readonly WornRing[] => {
    const random = seeded(9);
    return Array.from({ length: count }, () => {
      const own = factor * Math.exp(assumed.wear.logSpread * random.normal() - assumed.wear.logSpread ** 2 / 2);
      const at = (age: number): number => -10 + 30 * own * expectedWear(age, 'rubber', assumed.wear) + 2 * random.normal();
      return { material: 'rubber', leadMm: 12, newAgeDays: 7, newDegrees: at(7), newReadings: 2, outAgeDays: 150, outDegrees: at(150), outReadings: 2 };
    });
  };

  it('is the assumed one before any ring was read new and out', () => {
    expect(learnedHalfYearMm([], assumed)).toBeCloseTo(0.8, 12);
  });

  it('is found again from many rings, and only leaned towards by few', () => {
    expect(Math.abs(learnedHalfYearMm(rings(0.6, 200), assumed) - 0.48)).toBeLessThan(0.06);
    expect(learnedHalfYearMm(rings(0.6, 4), assumed)).toBeGreaterThan(0.55);
    expect(Math.abs(learnedHalfYearMm(rings(1.4, 200), assumed) - 1.12)).toBeLessThan(0.1);
  });

  it('ignores a ring whose readings are on one day, and stays above the bedding in', () => {
    const same = { ...(rings(1, 1)[0] as WornRing), outAgeDays: 7 };
    expect(learnedHalfYearMm([same], assumed)).toBeCloseTo(0.8, 12);
    const back = rings(1, 1).map((ring) => ({ ...ring, outDegrees: -900 }));
    expect(learnedHalfYearMm(back, assumed)).toBeGreaterThan(assumed.wear.beddingMm);
  });
});

describe('how far looks can be trusted', () => {
  it('is the assumed before any ring was watched', () => {
    const looks = learnedLooks([], prior, assumed);
    expect(looks.badWhenFailed).toBeCloseTo(assumed.looks.badWhenFailed, 12);
    expect(looks.leakAfterDays).toBeCloseTo(assumed.looks.leakAfterDays, 12);
  });

  it('is found again where people look less well than assumed and rings leak later', () => {
    const truth = { ...assumed, looks: { ...assumed.looks, badWhenFailed: 0.6, badWhenSound: 0.08, leakAfterDays: 30 } };
    const cafes = drawCafes(weibullFleet(128, 3, truth), 60, 4, truth, seeded(12));
    const rings = cafes.flat().flatMap((group) => group.record.finished);
    const looks = learnedLooks(rings, prior, assumed);
    // Nobody knows when a ring failed, so a good part of the way from the assumed figures is all there is.
    expect(Math.abs(looks.badWhenFailed - 0.6)).toBeLessThan(0.12);
    expect(Math.abs(looks.badWhenSound - 0.08)).toBeLessThan(0.015);
    expect(Math.abs(looks.leakAfterDays - 30)).toBeLessThan(8);
  });

  it('stays where it is when the assumptions hold', () => {
    const cafes = drawCafes(weibullFleet(128, 3, assumed), 60, 4, assumed, seeded(13));
    const looks = learnedLooks(cafes.flat().flatMap((group) => group.record.finished), prior, assumed);
    expect(Math.abs(looks.badWhenFailed - 0.85)).toBeLessThan(0.06);
    expect(Math.abs(looks.badWhenSound - 0.03)).toBeLessThan(0.01);
    expect(Math.abs(looks.leakAfterDays - 14)).toBeLessThan(3);
  });
});
