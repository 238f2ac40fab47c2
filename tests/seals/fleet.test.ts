import { describe, expect, it } from 'vitest';
import { learnedPrior } from '../../src/seals/fleet.ts';
import { assumedPrior } from '../../src/seals/life.ts';
import { assumed } from './assumed.ts';
import { drawCafes, weibullFleet } from './life-simulation.ts';
import { seeded } from './random.ts';

const records = (fleet: ReturnType<typeof weibullFleet>, cafes: number, seed: number) =>
  drawCafes(fleet, cafes, 3, assumed, seeded(seed)).map((groups) => groups.map((group) => group.record));

describe('what many cafés teach', () => {
  it('is nothing below a hundred finished lives', () => {
    expect(learnedPrior(records(weibullFleet(96, 2, assumed), 16, 1), assumed)).toEqual(assumedPrior(assumed.life));
    expect(learnedPrior(records(weibullFleet(96, 2, assumed), 17, 1), assumed)).not.toEqual(assumedPrior(assumed.life));
  });

  it('is the median and the shape of a fleet that the assumptions do not fit', () => {
    const short = learnedPrior(records(weibullFleet(96, 2, assumed), 60, 2), assumed);
    expect(Math.abs(Math.exp(short.centre) - 96)).toBeLessThan(12);
    expect((short.shapeWeights[0] as number) + (short.shapeWeights[1] as number)).toBeGreaterThan(0.5);
    const long = learnedPrior(records(weibullFleet(170, 5, assumed), 60, 3), assumed);
    expect(Math.abs(Math.exp(long.centre) - 170)).toBeLessThan(20);
    expect((long.shapeWeights[6] as number) + (long.shapeWeights[7] as number)).toBeGreaterThan(0.5);
  });

  it('keeps weights that add up to 1 and spreads above 0', () => {
    const learned = learnedPrior(records(weibullFleet(128, 3, assumed), 30, 4), assumed);
    expect(learned.shapeWeights.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 10);
    expect(learned.cafeSpread).toBeGreaterThan(0.1);
    expect(learned.groupSpread).toBeGreaterThan(0.05);
  });
});
