import { describe, expect, it } from 'vitest';
import { expectedWear, wearFactors, wornShare } from '../../src/seals/wear.ts';
import { assumed } from './assumed.ts';

describe('the wear of a ring', () => {
  it('starts at nothing, stands at the assumed height at half a year, and only grows', () => {
    expect(wornShare(0, assumed.wear)).toBe(0);
    expect(expectedWear(182, 'rubber', assumed.wear)).toBeCloseTo(0.8, 12);
    for (let day = 0; day < 400; day++) {
      expect(wornShare(day + 1, assumed.wear)).toBeGreaterThan(wornShare(day, assumed.wear));
    }
  });

  it('is small in the two weeks in which a new ring is read', () => {
    expect(expectedWear(7, 'rubber', assumed.wear)).toBeLessThan(0.1);
    expect(expectedWear(14, 'rubber', assumed.wear)).toBeLessThan(0.17);
  });

  it('is halved in silicone', () => {
    expect(expectedWear(90, 'silicone', assumed.wear)).toBeCloseTo(expectedWear(90, 'rubber', assumed.wear) / 2, 12);
  });

  it('differs between rings so that 80 % lie between about 0.4 and 1.3 mm at half a year', () => {
    const factors = wearFactors(assumed.wear.logSpread);
    const below = (mm: number): number =>
      factors.filter(({ factor }) => factor * 0.8 < mm).reduce((sum, { weight }) => sum + weight, 0);
    expect(factors.reduce((sum, { factor, weight }) => sum + factor * weight, 0)).toBeCloseTo(1, 1);
    expect(below(0.4)).toBeGreaterThan(0.06);
    expect(below(0.4)).toBeLessThan(0.16);
    expect(below(1.3)).toBeGreaterThan(0.84);
    expect(below(1.3)).toBeLessThan(0.94);
  });
});
