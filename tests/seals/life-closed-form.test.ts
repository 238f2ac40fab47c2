import { describe, expect, it } from 'vitest';
import { normalised, product } from '../../src/seals/grid.ts';
import { ageReachedBy, lifeCurve, survivalAt } from '../../src/seals/life-curve.ts';
import { lifeGrid, likelihoodOn } from '../../src/seals/life-grid.ts';
import { endedBetween, type RingEvidence } from '../../src/seals/ring-evidence.ts';
import { assumed } from './assumed.ts';
import { gammaPosterior, inServiceSurvival, logShapeWeight, newRingSurvival, rateFromMedian, type Life } from './closed-form.ts';

// Expected figures of this file are recomputed (quadrature or closed form), never published.
const B = 3;
const A = 4;
const C = rateFromMedian(128, B, A);
const failed: readonly Life[] = [95, 120, 140].map((age) => ({ age, failed: true }));
const sound: readonly Life[] = [91, 60].map((age) => ({ age, failed: false }));

const grid = lifeGrid({ ...assumed.life, shapes: [B] }, Math.log(128));
/** Gamma(A, C) for the rate, as weights over the log medians. */
const prior = grid.rates.map((rate) => Math.exp(A * Math.log(rate) - C * rate + A * Math.log(C)));
const exactly = (age: number): RingEvidence => endedBetween(age * (1 - 1e-5), age * (1 + 1e-5));
const still = (age: number): RingEvidence => endedBetween(age, Number.POSITIVE_INFINITY);
const weights = (evidence: readonly RingEvidence[]): Float64Array =>
  normalised(product([prior, ...evidence.map((e) => likelihoodOn(grid, e))], prior.length));

describe('the served grid beside the closed form', () => {
  it('starts from the same numbers', () => {
    expect(C).toBeCloseTo(11083896.0784844, 5);
    expect(gammaPosterior(B, A, C, [...failed, ...sound])).toEqual({ shape: 7, rate: C + 6298946 });
  });

  it('gives the same survival and range for a new ring', () => {
    const curve = lifeCurve(grid, weights([...[95, 120, 140].map(exactly), still(91), still(60)]), 1);
    expect(newRingSurvival(100, B, gammaPosterior(B, A, C, [...failed, ...sound]))).toBeCloseTo(0.676015880778, 11);
    expect(survivalAt(curve, 100)).toBeCloseTo(0.676015880778, 4);
    expect(ageReachedBy((age) => survivalAt(curve, age), 0.9)).toBeCloseTo(64.11963, 2);
    expect(ageReachedBy((age) => survivalAt(curve, age), 0.1)).toBeCloseTo(189.17965, 1);
  });

  it('gives the same survival and range for the ring in service, its own age counted once', () => {
    const curve = lifeCurve(grid, weights([...[95, 120, 140].map(exactly), still(91)]), 1);
    const at = (age: number): number => survivalAt(curve, age) / survivalAt(curve, 60);
    expect(inServiceSurvival(100, 60, B, gammaPosterior(B, A, C, [...failed, ...sound]))).toBeCloseTo(0.73432684641, 11);
    expect(at(100)).toBeCloseTo(0.73432684641, 4);
    expect(60 + ageReachedBy((days) => at(60 + days), 0.9)).toBeCloseTo(78.27651, 1);
    expect(60 + ageReachedBy((days) => at(60 + days), 0.1)).toBeCloseTo(191.17042, 1);
  });

  it('gives the same survival when one life is only known to have ended between two looks', () => {
    const curve = lifeCurve(grid, weights([exactly(95), exactly(120), endedBetween(112, 126)]), 1);
    expect(survivalAt(curve, 100)).toBeCloseTo(0.643012609, 4);
  });

  it('weighs the shapes as the closed form does', () => {
    const lives = [...failed, ...sound];
    const expected = [
      [2, -16.3944935],
      [3, -15.1635934],
      [4, -14.4088644],
    ] as const;
    const served = expected.map(([b]) => {
      const c = rateFromMedian(128, b, A);
      const oneShape = lifeGrid({ ...assumed.life, shapes: [b], gridHalfWidth: 4, gridPoints: 401 }, Math.log(128));
      const density = normalised(oneShape.rates.map((rate) => Math.exp(A * Math.log(rate) - c * rate + A * Math.log(c))));
      let sum = 0;
      const parts = lives.map((life) => likelihoodOn(oneShape, life.failed ? exactly(life.age) : still(life.age)));
      density.forEach((weight, i) => {
        sum += parts.reduce((p, part, k) => (p * (part[i] as number)) / (lives[k]?.failed ? 2e-5 * (lives[k]?.age as number) : 1), weight);
      });
      return Math.log(sum);
    });
    expected.forEach(([b, weight], i) => {
      expect(logShapeWeight(b, A, rateFromMedian(128, b, A), lives)).toBeCloseTo(weight, 6);
      expect(served[i]).toBeCloseTo(weight, 5);
    });
  });
});
