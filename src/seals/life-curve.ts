import type { LifeGrid } from './life-grid.ts';

/**
 * A survival curve averaged over a belief, in calendar days: `ln(-ln S)` at even steps of the log
 * of the age, where it is nearly straight.
 */
export type LifeCurve = { readonly firstLogAge: number; readonly step: number; readonly logHazards: readonly number[] };

/** Steps below the shortest and above the longest median of the grid. */
const BELOW = 40;
const ABOVE = 10;

/** Average over the cells' weights; the grid's steps in median and the curve's in age are the same. */
export const lifeCurve = (grid: LifeGrid, weights: Float64Array, pace: number): LifeCurve => {
  const width = grid.logMedians.length;
  const points = width + BELOW + ABOVE;
  const total = weights.reduce((a, b) => a + b, 0);
  const survival = new Float64Array(points);
  grid.shapes.forEach((shape, b) => {
    const table = Float64Array.from({ length: points + width }, (_, k) =>
      Math.exp(-Math.LN2 * Math.exp(shape * grid.step * (k - width - BELOW + 1))),
    );
    for (let i = 0; i < width; i++) {
      const weight = (weights[b * width + i] as number) / total;
      if (weight < 1e-10) continue;
      const shift = width - 1 - i;
      for (let j = 0; j < points; j++) survival[j] = (survival[j] as number) + weight * (table[j + shift] as number);
    }
  });
  const logHazards = Array.from(survival, (s) => Math.log(-Math.log(Math.min(1 - 1e-15, Math.max(1e-300, s)))));
  return { firstLogAge: (grid.logMedians[0] as number) - BELOW * grid.step - Math.log(pace), step: grid.step, logHazards };
};

/** Chance that a ring reaches this age. */
export const survivalAt = (curve: LifeCurve, ageDays: number): number => {
  if (ageDays <= 0) return 1;
  const position = (Math.log(ageDays) - curve.firstLogAge) / curve.step;
  const last = curve.logHazards.length - 2;
  const i = Math.min(last, Math.max(0, Math.floor(position)));
  const low = curve.logHazards[i] as number;
  const high = curve.logHazards[i + 1] as number;
  return Math.exp(-Math.exp(low + (position - i) * (high - low)));
};

/** The age that this share of rings reaches; `survival` may be any falling function of the age from 1. */
export const ageReachedBy = (survival: (ageDays: number) => number, share: number, longestDays = 4000): number => {
  let low = 0;
  let high = longestDays;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (survival(middle) > share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};
