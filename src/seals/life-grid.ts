import type { SealConstants } from './constants.ts';
import { blurred, evenly } from './grid.ts';
import type { RingEvidence, SurvivalSum } from './ring-evidence.ts';

/**
 * Lives follow `S(t) = exp(-ln2 (t / e^x)^b)`: `x` is the log of the median in paced days, `b` the shape.
 * Arrays over the grid run through all values of `x` for the first shape, then for the next.
 */
export type LifeGrid = {
  readonly shapes: readonly number[];
  readonly logMedians: Float64Array;
  readonly step: number;
  /** ln2 * e^(-b x) for each cell. */
  readonly rates: Float64Array;
};

export const lifeGridOf = (shapes: readonly number[], logMedians: Float64Array): LifeGrid => {
  const rates = new Float64Array(shapes.length * logMedians.length);
  shapes.forEach((shape, b) => {
    logMedians.forEach((x, i) => (rates[b * logMedians.length + i] = Math.LN2 * Math.exp(-shape * x)));
  });
  const step = logMedians.length > 1 ? (logMedians[1] as number) - (logMedians[0] as number) : 1;
  return { shapes, logMedians, step, rates };
};

/** The grid served, centred on this log median. */
export const lifeGrid = (life: SealConstants['life'], centre: number): LifeGrid =>
  lifeGridOf(life.shapes, evenly(centre, life.gridHalfWidth, life.gridPoints));

/** A sum of survivals in each cell. */
export const sumOn = (grid: LifeGrid, sum: SurvivalSum): Float64Array => {
  const width = grid.logMedians.length;
  const out = new Float64Array(grid.rates.length);
  sum.times.forEach((time, k) => {
    const weight = sum.weights[k] as number;
    grid.shapes.forEach((shape, b) => {
      const power = time ** shape;
      for (let i = b * width; i < (b + 1) * width; i++) {
        out[i] = (out[i] as number) + weight * Math.exp(-(grid.rates[i] as number) * power);
      }
    });
  });
  return out;
};

/** Mean age reached up to `longest` in each cell: the time during which a ring can be met in service. */
export const meanUpTo = (grid: LifeGrid, longest: number): Float64Array => {
  const count = 24;
  const times = Array.from({ length: count }, (_, i) => ((i + 0.5) / count) * longest);
  return sumOn(grid, { times, weights: times.map(() => longest / count) });
};

/** Likelihood of one ring's evidence in each cell. */
export const likelihoodOn = (grid: LifeGrid, evidence: RingEvidence): Float64Array => {
  const out = sumOn(grid, evidence.likelihood).map((chance) => Math.max(chance, 0));
  if (evidence.met === undefined) return out;
  const span = meanUpTo(grid, evidence.met.longestAge);
  return out.map((chance, i) => chance / (span[i] as number));
};

/** Each shape's row smoothed along the medians. */
export const blurredRows = (grid: LifeGrid, from: Float64Array, kernel: Float64Array): Float64Array => {
  const width = grid.logMedians.length;
  const out = new Float64Array(from.length);
  grid.shapes.forEach((_, b) => out.set(blurred(from.subarray(b * width, (b + 1) * width), kernel), b * width));
  return out;
};
