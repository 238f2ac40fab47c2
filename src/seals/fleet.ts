import type { SealConstants } from './constants.ts';
import { product } from './grid.ts';
import { assumedPrior, cafePrior, groupLikelihood, type GroupRecord, type LifePrior } from './life.ts';
import { blurredRows, lifeGrid, type LifeGrid } from './life-grid.ts';
import { normalKernel } from './normal.ts';
import { ringEvidence } from './ring-evidence.ts';

type CafeSums = {
  readonly shapes: readonly number[];
  /** Mean of the café's log median, and of its square. */
  readonly mean: number;
  readonly square: number;
  /** Mean square distance of its groups from the café, added up. */
  readonly apart: number;
};

type Sums = { readonly shapes: readonly number[]; readonly mean: number; readonly square: number; readonly apart: number };

/** The kernel with each weight times the square of its distance, in log units. */
const squaredKernel = (kernel: Float64Array, step: number): Float64Array => {
  const reach = (kernel.length - 1) / 2;
  return kernel.map((weight, i) => weight * ((i - reach) * step) ** 2);
};

/** What one café's rings say of everything the prior is made of, under the prior as it stands. */
const sumsOf = (grid: LifeGrid, prior: LifePrior, groups: readonly Float64Array[]): CafeSums => {
  const kernel = normalKernel(prior.groupSpread / grid.step);
  const messages = groups.map((group) => blurredRows(grid, group, kernel));
  const distances = groups.map((group) => blurredRows(grid, group, squaredKernel(kernel, grid.step)));
  const joint = product([cafePrior(grid, prior), ...messages], grid.rates.length);
  const total = joint.reduce((a, b) => a + b, 0);
  const width = grid.logMedians.length;
  const shapes = grid.shapes.map(() => 0);
  let mean = 0;
  let square = 0;
  let apart = 0;
  joint.forEach((value, i) => {
    const weight = value / total;
    const x = grid.logMedians[i % width] as number;
    const b = Math.floor(i / width);
    shapes[b] = (shapes[b] as number) + weight;
    mean += weight * x;
    square += weight * x * x;
    messages.forEach((message, g) => {
      const at = message[i] as number;
      if (weight > 0 && at > 0) apart += (weight * ((distances[g] as Float64Array)[i] as number)) / at;
    });
  });
  return { shapes, mean, square, apart };
};

const added = (all: readonly CafeSums[], shapes: readonly number[]): Sums => ({
  shapes: shapes.map((_, b) => all.reduce((sum, cafe) => sum + (cafe.shapes[b] as number), 0)),
  mean: all.reduce((sum, cafe) => sum + cafe.mean, 0),
  square: all.reduce((sum, cafe) => sum + cafe.square, 0),
  apart: all.reduce((sum, cafe) => sum + cafe.apart, 0),
});

/** The prior that best explains the sums, the assumed one counted as a few cafés more. */
const improved = (sums: Sums, cafes: number, groups: number, assumed: LifePrior, weight: number): LifePrior => {
  const centre = (weight * assumed.centre + sums.mean) / (weight + cafes);
  const scatter = sums.square - 2 * centre * sums.mean + cafes * centre * centre;
  return {
    centre,
    cafeSpread: Math.sqrt((weight * assumed.cafeSpread ** 2 + scatter) / (weight + cafes)),
    groupSpread: Math.sqrt((weight * assumed.groupSpread ** 2 + sums.apart) / (weight + groups)),
    shapeWeights: sums.shapes.map((sum, b) => (weight * (assumed.shapeWeights[b] as number) + sum) / (weight + cafes)),
  };
};

const ROUNDS = 60;

/**
 * The prior learned from cafés that agreed to share their seals' lives, by expectation and
 * maximisation on the served grid. Fewer finished lives than `learnFromLives`: the assumed prior.
 */
export const learnedPrior = (cafes: readonly (readonly GroupRecord[])[], constants: SealConstants): LifePrior => {
  const assumed = assumedPrior(constants.life);
  const lives = cafes.flat().reduce((sum, group) => sum + group.finished.length, 0);
  if (lives < constants.life.learnFromLives) return assumed;
  const grid = lifeGrid(constants.life, assumed.centre);
  const likelihoods = cafes.map((groups) =>
    groups.map(({ finished, current }) => {
      const evidence = finished.map((ring) => ringEvidence(ring, constants));
      return groupLikelihood(grid, evidence, current === undefined ? undefined : ringEvidence(current, constants)).all;
    }),
  );
  let prior = assumed;
  for (let round = 0; round < ROUNDS; round++) {
    const sums = added(likelihoods.map((groups) => sumsOf(grid, prior, groups)), grid.shapes);
    prior = improved(sums, cafes.length, likelihoods.flat().length, assumed, constants.life.learnWeightCafes);
  }
  return prior;
};
