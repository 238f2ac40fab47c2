import { expect, test } from 'vitest';
import { assumed } from '../seals/assumed.ts';
import { seeded } from '../seals/random.ts';
import { drawVisits, sealKits } from './size-simulation.ts';

// A small sample of the run behind docs/results/kits.md.
test('a kit of seals by the chances of their sizes finishes what it promised, and its level holds', () => {
  const visits = drawVisits(48, assumed, seeded(78));
  const { promised, finished, pieces } = sealKits(visits, 0.9);
  const error = Math.sqrt((promised * (1 - promised)) / visits.length);
  expect(Math.abs(finished - promised)).toBeLessThan(3 * error);
  expect(finished).toBeGreaterThan(0.9 - 3 * error);
  // Never less than one seal, and far from one of each size.
  expect(pieces).toBeGreaterThanOrEqual(1);
  expect(pieces).toBeLessThan(2);
});
