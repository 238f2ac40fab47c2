import { describe, expect, it } from 'vitest';
import { evenly } from '../../src/seals/grid.ts';
import { lifeGridOf, likelihoodOn } from '../../src/seals/life-grid.ts';
import { endedBetween } from '../../src/seals/ring-evidence.ts';
import { logShapeWeightWithoutPrior, type Life } from './closed-form.ts';
import { fans, handbook, ovarian } from './published-lives.ts';

const NARROW = 1e-5;

const evidenceOf = (life: Life) =>
  life.failed
    ? endedBetween(life.age * (1 - NARROW), life.age * (1 + NARROW))
    : endedBetween(life.age, Number.POSITIVE_INFINITY);

/** Log likelihood in each cell of a grid, through the served likelihood; a failure counts as a density. */
const logLikelihood = (lives: readonly Life[], shapes: readonly number[], logMedians: Float64Array): Float64Array => {
  const grid = lifeGridOf(shapes, logMedians);
  const total = new Float64Array(grid.rates.length);
  for (const life of lives) {
    const width = life.failed ? 2 * NARROW * life.age : 1;
    likelihoodOn(grid, evidenceOf(life)).forEach((chance, i) => (total[i] = (total[i] as number) + Math.log(chance / width)));
  }
  return total;
};

/** Most likely shape and scale, by looking closer and closer around the best cell. */
const mostLikely = (lives: readonly Life[], firstLogMedian: number) => {
  let shape = 1.75;
  let x = firstLogMedian;
  let best = Number.NEGATIVE_INFINITY;
  for (let width = 1.5; width > 1e-7; width *= 0.4) {
    const shapes = Array.from(evenly(shape, Math.min(width, shape * 0.9), 21));
    const medians = evenly(x, width, 21);
    const cells = logLikelihood(lives, shapes, medians);
    const top = cells.indexOf(cells.reduce((a, b) => Math.max(a, b)));
    best = cells[top] as number;
    shape = shapes[Math.floor(top / 21)] as number;
    x = medians[top % 21] as number;
  }
  return { shape, scale: Math.exp(x) / Math.LN2 ** (1 / shape), logLikelihood: best };
};

const closedFormShape = (lives: readonly Life[]): number => {
  let low = 0.3;
  let high = 6;
  for (let i = 0; i < 100; i++) {
    const a = low + (high - low) / 3;
    const b = high - (high - low) / 3;
    if (logShapeWeightWithoutPrior(a, lives) < logShapeWeightWithoutPrior(b, lives)) low = a;
    else high = b;
  }
  return (low + high) / 2;
};

describe('published lives through the served likelihood', () => {
  it('give the estimates printed in the handbook (NIST/SEMATECH 8.4.1.3: shape 1.7208, scale 606.5280)', () => {
    const found = mostLikely(handbook, Math.log(400));
    expect(found.shape).toBeCloseTo(1.7208, 4);
    expect(found.scale).toBeCloseTo(606.528, 2);
    // The handbook prints 75.135 as "loglikelihood"; it is the negative of it.
    expect(found.logLikelihood).toBeCloseTo(-75.135, 2);
  });

  it('give the estimates printed by survreg for ovarian (R package survival: intercept 7.111, scale 0.902, loglik -98)', () => {
    const found = mostLikely(ovarian, Math.log(900));
    expect(Math.log(found.scale)).toBeCloseTo(7.111, 3);
    expect(1 / found.shape).toBeCloseTo(0.902, 3);
    expect(found.logLikelihood).toBeCloseTo(-98, 0);
  });

  it('give shape 1.058 and 26.3 thousand hours for the generator fans (Nelson 1982; Meeker and Escobar 1998, from memory)', () => {
    expect(fans).toHaveLength(70);
    expect(fans.reduce((sum, life) => sum + life.age, 0)).toBe(344440);
    const found = mostLikely(fans, Math.log(20000));
    expect(found.shape).toBeCloseTo(1.058, 3);
    expect(found.scale / 1000).toBeCloseTo(26.3, 1);
  });

  // Recomputed values, not published: for the last digits only.
  it.each([
    ['handbook', handbook, 1.7207972608, 606.527558, -75.1346181645, Math.log(400)],
    ['ovarian', ovarian, 1.1080597, 1225.4189589, -97.9539040, Math.log(900)],
    ['fans', fans, 1.0584458499, 26296.845175, -135.15271995, Math.log(20000)],
  ])('agree with recomputed digits: %s', (_name, lives, shape, scale, logL, start) => {
    const found = mostLikely(lives, start);
    expect(found.shape).toBeCloseTo(shape, 5);
    expect(found.scale / scale).toBeCloseTo(1, 5);
    expect(found.logLikelihood).toBeCloseTo(logL, 5);
  });

  it.each([
    ['handbook', handbook, Math.log(400)],
    ['ovarian', ovarian, Math.log(900)],
    ['fans', fans, Math.log(20000)],
  ])('have the same most likely shape in the closed form: %s', (_name, lives, start) => {
    expect(closedFormShape(lives)).toBeCloseTo(mostLikely(lives, start).shape, 5);
  });
});
