import { describe, expect, it } from 'vitest';
import { assumedPrior } from '../../src/seals/life.ts';
import { assumed } from './assumed.ts';
import { bestInterval, drawTrueGroups, fixedCost, servedCost } from './cost-simulation.ts';
import { simulateDrift } from './drift-simulation.ts';
import { calibrate, medianOf, pooled, shareOf } from './life-calibration.ts';
import { assumedFleet } from './life-simulation.ts';
import { seeded } from './random.ts';

// Small samples of the runs behind docs/results/seal-life.md and seal-drift.md: wide bounds, fixed seeds.
const prior = assumedPrior(assumed.life);

describe('ranges in simulated fleets, with misreadings and weeks left out', () => {
  it.each([0, 3])('hold about 80 % of lives after %d earlier seals', (earlier) => {
    const random = seeded(100 + earlier);
    const all = pooled(Array.from({ length: 20 }, () => calibrate(assumedFleet(assumed, random), 10, earlier, prior, assumed, random)));
    expect(shareOf(all.nextHeld)).toBeGreaterThan(0.73);
    expect(shareOf(all.nextHeld)).toBeLessThan(0.87);
    expect(shareOf(all.leftHeld)).toBeGreaterThan(0.73);
    expect(shareOf(all.leftHeld)).toBeLessThan(0.87);
    expect(medianOf(all.nextRatio)).toBeLessThan(earlier === 0 ? 4.2 : 3.4);
  });

  it('hold about 80 % of the ages at which a handle passes its limit', () => {
    const random = seeded(31);
    const held = Array.from({ length: 150 }, () => simulateDrift(10, undefined, assumed, random)?.held).filter((one) => one !== undefined);
    expect(shareOf(held)).toBeGreaterThan(0.7);
    expect(shareOf(held)).toBeLessThan(0.9);
  });
});

describe('four years of changes in simulated cafés', () => {
  it('cost little more than with the best interval known, less than every six months', () => {
    const random = seeded(77);
    const costs = { planned: 1, failed: 5 };
    let served = 0;
    let best = 0;
    let halfYear = 0;
    for (let i = 0; i < 2; i++) {
      const fleet = assumedFleet(assumed, random);
      const groups = drawTrueGroups(fleet, 2, assumed, random);
      served += servedCost(groups, prior, costs, assumed, random).reduce((a, b) => a + b, 0);
      for (const group of groups) {
        best += fixedCost(group, bestInterval(group, fleet, costs), costs, assumed, random);
        halfYear += fixedCost(group, 182, costs, assumed, random);
      }
    }
    expect(served).toBeLessThan(1.35 * best);
    expect(served).toBeLessThan(halfYear);
  });
});
