import { describe, expect, it } from 'vitest';
import { assumed } from './assumed.ts';
import { simulateGroup, tally } from './fit-simulation.ts';
import { seeded } from './random.ts';

// A small sample of the run behind docs/results/seal-size.md: wide bounds, fixed seed.
describe('size advice in simulated groups', () => {
  const random = seeded(20);
  const changes = Array.from({ length: 50 }, () =>
    simulateGroup({ changes: 3, readingsPerRing: 2, follow: 3 }, assumed, random),
  )
    .flat()
    .filter((change) => change.newReadings >= 2);
  const all = tally(changes, assumed);
  const sure = tally(changes.filter((change) => change.fit.kind === 'sure'), assumed);

  it('stands well about as often as somebody who knows the truth', () => {
    expect(all.share).toBeGreaterThan(0.85);
    expect(sure.share).toBeGreaterThan(0.93);
  });

  it('hardly ever ends far left, where charging wear to the new ring often does', () => {
    expect(all.farLeft).toBeLessThanOrEqual(0.02);
    expect(all.naiveFarLeft).toBeGreaterThan(0.1);
  });

  it('is sure in most cases after the readings it asked for', () => {
    expect(all.sure).toBeGreaterThan(0.6);
  });
});
