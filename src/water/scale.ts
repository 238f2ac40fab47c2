import type { Hardness } from './hardness.ts';

export type WaterAnalysis = {
  /** Measured cold. */
  readonly ph: number;
  /** Dissolved solids, mg/L. */
  readonly dissolved: number;
  readonly calcium: Hardness;
  readonly alkalinity: Hardness;
};

/**
 * What the four-factor formula is good for: its factor tables run from 0 to 80 °C and to 1000 mg/L, its printed
 * examples to 82 °C. Above that, and so in every boiler, an index only ranks one water against another.
 */
export const formulaRange = { celsius: [0, 82], dissolved: [1, 1000] } as const;

export type ScaleIndex = {
  /** pH at which this water would neither lay down nor dissolve calcium carbonate. */
  readonly saturationPh: number;
  readonly langelier: number;
  readonly ryznar: number;
  readonly tendency: Tendency;
  /** `relative`: outside {@link formulaRange}, fit for comparing waters and nothing else. */
  readonly validity: 'in range' | 'relative';
};

export type Tendency = 'scale' | 'leans to scale' | 'balanced' | 'leans to corrosion' | 'corrosion';

/** Water that a logarithm cannot take (nothing dissolved, no calcium, no alkalinity) has no index. */
export const scaleIndex = (water: WaterAnalysis, celsius: number): ScaleIndex | { readonly validity: 'none' } => {
  if (!(water.calcium > 0 && water.alkalinity > 0 && water.dissolved > 0)) return { validity: 'none' };
  const saturationPh = saturation(water, celsius);
  const ryznar = 2 * saturationPh - water.ph;
  return {
    saturationPh,
    langelier: water.ph - saturationPh,
    ryznar,
    tendency: tendency(ryznar),
    validity: inRange(water, celsius) ? 'in range' : 'relative',
  };
};

/** pHs = (9.3 + A + B) - (C + D), the usual four factors, calcium and alkalinity both as CaCO3. */
const saturation = (water: WaterAnalysis, celsius: number): number => {
  const solids = (Math.log10(water.dissolved) - 1) / 10;
  const warmth = -13.12 * Math.log10(celsius + 273) + 34.55;
  const lime = Math.log10(water.calcium) - 0.4;
  return 9.3 + solids + warmth - lime - Math.log10(water.alkalinity);
};

const inRange = (water: WaterAnalysis, celsius: number): boolean =>
  celsius >= formulaRange.celsius[0] &&
  celsius <= formulaRange.celsius[1] &&
  water.dissolved >= formulaRange.dissolved[0] &&
  water.dissolved <= formulaRange.dissolved[1];

/** Bands of the Ryznar index: to 6.0 scale, 6.2 to 6.6 balanced, from 7.0 corrosion; between them it leans. */
const tendency = (ryznar: number): Tendency => {
  if (ryznar <= 6) return 'scale';
  if (ryznar < 6.2) return 'leans to scale';
  if (ryznar <= 6.6) return 'balanced';
  return ryznar < 7 ? 'leans to corrosion' : 'corrosion';
};

/** Temperatures at which a machine's water is judged, °C (assumed; common practice, no source). */
export const machineTemperatures = { brew: 93, steam: 120 } as const;

export const scaleInMachine = (
  water: WaterAnalysis,
  temperatures: { readonly brew: number; readonly steam: number } = machineTemperatures,
): { readonly brew: ReturnType<typeof scaleIndex>; readonly steam: ReturnType<typeof scaleIndex> } => ({
  brew: scaleIndex(water, temperatures.brew),
  steam: scaleIndex(water, temperatures.steam),
});

export type WaterWarning = 'too hard' | 'too soft' | 'too pure for probes';

/**
 * Calcium hardness acceptable for brewing, 17 to 85 mg/L, is the trade association's recommendation of about 2009;
 * newer editions disagree with each other. The least dissolved solids at which a level probe still sees water is
 * assumed (common practice, no source).
 */
export const assumedWaterLimits = { softest: 17, hardest: 85, leastDissolved: 30 } as const;

export type WaterLimits = { readonly [limit in keyof typeof assumedWaterLimits]: number };

/** Warnings for the water that reaches the machine; dissolved solids may be unknown. */
export const waterWarnings = (
  calcium: Hardness,
  dissolved: number | null,
  limits: WaterLimits = assumedWaterLimits,
): readonly WaterWarning[] => [
  ...(calcium > limits.hardest ? (['too hard'] as const) : []),
  ...(calcium < limits.softest ? (['too soft'] as const) : []),
  ...(dissolved !== null && dissolved < limits.leastDissolved ? (['too pure for probes'] as const) : []),
];
