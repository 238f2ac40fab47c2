import type { SealConstants } from './constants.ts';

export type Material = 'rubber' | 'silicone';

const HALF_YEAR_DAYS = 182;

/**
 * Share of the half-year wear that a ring has behind it at this age, if `quickShare` of it is bedding
 * in and the rest goes in a straight line. 0 when new, 1 at half a year, more after it.
 */
export const shareWorn = (ageDays: number, quickShare: number, beddingDays: number): number => {
  const bedding = (1 - Math.exp(-ageDays / beddingDays)) / (1 - Math.exp(-HALF_YEAR_DAYS / beddingDays));
  return quickShare * bedding + (1 - quickShare) * (ageDays / HALF_YEAR_DAYS);
};

export const wornShare = (ageDays: number, wear: SealConstants['wear']): number =>
  shareWorn(ageDays, wear.beddingMm / wear.halfYearMm, wear.beddingDays);

/** Average height lost at this age, in millimetres. */
export const expectedWear = (ageDays: number, material: Material, wear: SealConstants['wear']): number =>
  wear.halfYearMm * (material === 'silicone' ? wear.siliconeShare : 1) * wornShare(ageDays, wear);

/** How one ring wears against the average one: factors and their weights, log-normal with mean 1. */
export const wearFactors = (logSpread: number): readonly { readonly factor: number; readonly weight: number }[] => {
  const steps = Array.from({ length: 17 }, (_, i) => (i - 8) * 0.3);
  const density = steps.map((z) => Math.exp((-z * z) / 2));
  const sum = density.reduce((a, b) => a + b, 0);
  return steps.map((z, i) => ({
    factor: Math.exp(logSpread * z - (logSpread * logSpread) / 2),
    weight: (density[i] ?? 0) / sum,
  }));
};
