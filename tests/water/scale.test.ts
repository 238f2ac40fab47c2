import { describe, expect, test } from 'vitest';
import { hardness } from '../../src/water/hardness.ts';
import { scaleIndex, scaleInMachine, waterWarnings, type WaterAnalysis } from '../../src/water/scale.ts';

const water = (ph: number, dissolved: number, calcium: number, alkalinity: number): WaterAnalysis => ({
  ph,
  dissolved,
  calcium: hardness(calcium, 'mg/L'),
  alkalinity: hardness(alkalinity, 'mg/L'),
});

const index = (sample: WaterAnalysis, celsius: number) => {
  const found = scaleIndex(sample, celsius);
  if (found.validity === 'none') throw new Error('expected an index');
  return found;
};

const sample = water(7.5, 320, 150, 34);

describe('scale tendency', () => {
  // Worked examples printed at corrosion-doctors.org, "Langelier Index Calculation": pH 7.5, TDS 320, Ca 150, alkalinity 34.
  // The finer figures were recomputed from the same formula.
  test('printed example at 25 °C: pHs 8.2, index -0.7', () => {
    const found = index(sample, 25);
    expect(found.saturationPh).toBeCloseTo(8.2, 1);
    expect(found.langelier).toBeCloseTo(-0.7, 1);
    expect(found.saturationPh).toBeCloseTo(8.231227, 6);
    expect(found.ryznar).toBeCloseTo(8.962454, 5);
    expect(found.tendency).toBe('corrosion');
  });

  test('the same water at 82 °C: pHs 7.2, index +0.3: it turns to scale', () => {
    const found = index(sample, 82);
    expect(found.saturationPh).toBeCloseTo(7.2, 1);
    expect(found.langelier).toBeCloseTo(0.3, 1);
    expect(found.langelier).toBeCloseTo(0.266051, 6);
    expect(found.ryznar).toBeCloseTo(6.967898, 6);
  });

  // Inputs printed at waterfilter.com.my, "The Langelier Index"; its rounded factor tables (A 2.60, B 9.86) give 7.68.
  test('table method and formula agree to its rounding at 0 °C', () => {
    const found = index(water(8.4, 400, 200, 300), 0);
    expect(Math.abs(found.saturationPh - (2.6 + 9.86 - 2.3 - 2.48))).toBeLessThan(0.02);
    expect(found.langelier).toBeCloseTo(0.730399, 6);
  });

  // Temperature factors of the same table, 0 to 80 °C, each with TDS factor 9.77 at 100 mg/L. Table and formula are two
  // published roundings of one thing and part by up to 0.14, at 40 °C.
  test.each([
    [0, 2.6],
    [4, 2.5],
    [8, 2.4],
    [12, 2.3],
    [16, 2.2],
    [20, 2.1],
    [25, 2.0],
    [30, 1.9],
    [40, 1.7],
    [50, 1.55],
    [60, 1.4],
    [70, 1.25],
    [80, 1.15],
  ])('at %f °C the printed factor %f is met within 0.15', (celsius, factor) => {
    const found = index(water(7, 100, 100, 100), celsius);
    expect(Math.abs(found.saturationPh - (factor + 9.77 - 2 - 2))).toBeLessThan(0.15);
  });

  // Ryznar readings printed at gc3.com: to 6.0 scale, 6.2 to 6.6 balanced, from 7.0 corrosion.
  test('bands of the Ryznar index', () => {
    const at = (ryznar: number) => {
      const cold = index(water(7, 200, 100, 100), 60);
      return index(water(2 * cold.saturationPh - ryznar, 200, 100, 100), 60).tendency;
    };
    expect([5.9, 6.1, 6.3, 6.5, 6.8, 7.1].map(at)).toEqual([
      'scale',
      'leans to scale',
      'balanced',
      'balanced',
      'leans to corrosion',
      'corrosion',
    ]);
  });

  /**
   * The solubility of calcite itself (Plummer and Busenberg 1982, fitted 0 to 90 °C, from memory; the constants give the
   * tabulated pK2 10.329 and pKs 8.480 at 25 °C), with ionic strength TDS / 40000 and Davies' equation.
   */
  const calciteSaturation = (analysis: WaterAnalysis, celsius: number): { pHs: number; pK2: number; pKs: number } => {
    const t = celsius + 273.15;
    const pK2 = -(-107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * Math.log10(t) - 563713.9 / t ** 2);
    const pKs = -(-171.9065 - 0.077993 * t + 2839.319 / t + 71.595 * Math.log10(t));
    const strength = analysis.dissolved / 40_000;
    const root = Math.sqrt(strength);
    const slope = 1.82e6 * ((60954 / (t + 116) - 68.937) * t) ** -1.5;
    const activity = slope * (root / (1 + root) - 0.3 * strength);
    const pHs = pK2 - pKs - Math.log10(analysis.calcium / 100_086.9) - Math.log10(analysis.alkalinity / 50_043.45) + 5 * activity;
    return { pHs, pK2, pKs };
  };

  test('the solubility formula used as a second opinion gives the tabulated constants at 25 °C', () => {
    expect(calciteSaturation(sample, 25).pK2).toBeCloseTo(10.329, 3);
    expect(calciteSaturation(sample, 25).pKs).toBeCloseTo(8.48, 3);
  });

  test.each([
    [0, 0.3],
    [25, 0.2],
    [40, 0.15],
    [60, 0.05],
    [82, 0.15],
    [90, 0.15],
  ])('at %f °C the four factors stay within %f of calcite solubility', (celsius, within) => {
    expect(Math.abs(index(sample, celsius).saturationPh - calciteSaturation(sample, celsius).pHs)).toBeLessThan(within);
  });

  test('brew and steam are outside the formula, and it is said', () => {
    const { brew, steam } = scaleInMachine(sample);
    expect([brew.validity, steam.validity]).toEqual(['relative', 'relative']);
    expect(index(sample, 82).validity).toBe('in range');
    expect(index(water(7.5, 1500, 150, 34), 25).validity).toBe('relative');
  });

  test('hotter water, harder water and more alkaline water all move towards scale', () => {
    const { brew, steam } = scaleInMachine(sample);
    if (brew.validity === 'none' || steam.validity === 'none') throw new Error('expected an index');
    expect(steam.langelier).toBeGreaterThan(brew.langelier);
    expect(index(water(7.5, 320, 200, 34), 60).langelier).toBeGreaterThan(index(sample, 60).langelier);
    expect(index(water(7.5, 320, 150, 60), 60).langelier).toBeGreaterThan(index(sample, 60).langelier);
  });

  test('water with nothing in it has no index instead of an infinite one', () => {
    expect(scaleIndex(water(7, 0, 0, 0), 25)).toEqual({ validity: 'none' });
  });
});

describe('water that is wrong for the machine', () => {
  // Trade association's recommendation, c. 2009: calcium hardness acceptable 17 to 85 mg/L (1 to 5 grains).
  test('both ends warn: too hard and too soft', () => {
    expect(waterWarnings(hardness(5.1, 'grains/US gal'), 150)).toEqual(['too hard']);
    expect(waterWarnings(hardness(4, 'grains/US gal'), 150)).toEqual([]);
    expect(waterWarnings(hardness(0.9, 'grains/US gal'), 150)).toEqual(['too soft']);
  });

  test('water from a membrane: too soft, and level probes go blind; unknown solids say nothing', () => {
    expect(waterWarnings(hardness(2, 'mg/L'), 8)).toEqual(['too soft', 'too pure for probes']);
    expect(waterWarnings(hardness(2, 'mg/L'), null)).toEqual(['too soft']);
  });
});
