import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  carbonateHardness,
  hardness,
  hardnessClass,
  inUnit,
  type HardnessUnit,
} from '../../src/water/hardness.ts';

const units: readonly HardnessUnit[] = [
  'mg/L',
  'ppm',
  'mmol/L',
  'meq/L',
  'german',
  'french',
  'english',
  'grains/US gal',
];

describe('hardness in the units people meet', () => {
  // Published factors to mg/L CaCO3: 17.848 (German), 14.254 (English), 17.118 (grain), as printed in unit tables;
  // 10 (French) and 100.0869 (mmol) are definitions.
  test.each([
    ['german', 17.848, 3],
    ['english', 14.254, 3],
    ['grains/US gal', 17.118, 3],
    ['french', 10, 9],
    ['mmol/L', 100.0869, 9],
    ['meq/L', 50.04345, 9],
  ] as const)('one %s is %f mg/L', (unit, mg, digits) => {
    expect(hardness(1, unit)).toBeCloseTo(mg, digits);
  });

  // Printed worked values, calculatorhub.com unit pages (2026): 10 gpg = 171.18 mg/L = 9.59 dH = 1.71 mmol/L;
  // 1 mmol/L = 5.6077 dH.
  test('ten grains, and one millimole, as printed', () => {
    const ten = hardness(10, 'grains/US gal');
    expect(inUnit(ten, 'mg/L')).toBeCloseTo(171.18, 2);
    expect(inUnit(ten, 'german')).toBeCloseTo(9.59, 2);
    expect(inUnit(ten, 'mmol/L')).toBeCloseTo(1.71, 2);
    expect(inUnit(hardness(1, 'mmol/L'), 'german')).toBeCloseTo(5.6077, 4);
  });

  // Printed, tapwater.org (2026): 120 mg/L = 7.01 gpg = 6.72 dH = 12 fH = 8.4 eH = 1.2 mmol/L.
  test('120 mg/L in five units, as printed', () => {
    const water = hardness(120, 'ppm');
    expect(inUnit(water, 'grains/US gal')).toBeCloseTo(7.01, 2);
    expect(inUnit(water, 'german')).toBeCloseTo(6.72, 2);
    expect(inUnit(water, 'french')).toBeCloseTo(12, 9);
    expect(inUnit(water, 'english')).toBeCloseTo(8.4, 1);
    expect(inUnit(water, 'mmol/L')).toBeCloseTo(1.2, 2);
  });

  test('there and back again loses nothing, in any pair of units', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e4, noNaN: true }), fc.constantFrom(...units), (value, unit) => {
        expect(inUnit(hardness(value, unit), unit)).toBeCloseTo(value, 8);
      }),
      { seed: 20261 },
    );
  });

  test('a reading that is no hardness is refused, not carried on', () => {
    expect(() => hardness(-1, 'german')).toThrow(RangeError);
    expect(() => hardness(Number.NaN, 'german')).toThrow(RangeError);
  });

  // Classes of the United States Geological Survey, as quoted in secondary tables.
  test('classes change at 60, 120 and 180 mg/L', () => {
    const classes = [60, 61, 120, 121, 180, 181].map((mg) => hardnessClass(hardness(mg, 'mg/L')));
    expect(classes).toEqual(['soft', 'moderately hard', 'moderately hard', 'hard', 'hard', 'very hard']);
  });

  test('carbonate hardness never exceeds total hardness, even where sodium carries the alkalinity', () => {
    expect(carbonateHardness(hardness(5, 'german'), hardness(9, 'german'))).toBe(hardness(5, 'german'));
    expect(carbonateHardness(hardness(9, 'german'), hardness(5, 'german'))).toBe(hardness(5, 'german'));
  });
});
