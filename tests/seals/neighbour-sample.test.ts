import { describe, expect, it } from 'vitest';
import { assumed } from './assumed.ts';
import { tally } from './fit-simulation.ts';
import { medianOf } from './life-calibration.ts';
import { leadErrorsOf, simulateMachine } from './neighbour-simulation.ts';
import { seeded } from './random.ts';

// A small sample of the run behind docs/results/seal-neighbour.md: wide bounds, fixed seeds.
describe('what one group tells of the ramps of the other', () => {
  const error = (truth: Parameters<typeof leadErrorsOf>[0], own: number, neighbour: number): number => medianOf(leadErrorsOf(truth, { own, neighbour }, 300, assumed, 403));

  it('brings the lead nearer to the truth where the groups are of one kind', () => {
    expect(error('alike', 0, 3)).toBeLessThan(error('alike', 0, 0) - 0.03);
    expect(error('as assumed', 0, 3)).toBeLessThan(error('as assumed', 0, 0) - 0.01);
  });

  it('hardly takes it away where they have nothing to do with each other, and nothing once the group has pairs of its own', () => {
    expect(error('unrelated', 0, 3)).toBeLessThan(error('unrelated', 0, 0) + 0.06);
    expect(error('unrelated', 3, 3)).toBeLessThan(error('unrelated', 3, 0) + 0.03);
  });

  it('does the size no harm', () => {
    const random = seeded(404);
    const all = Array.from({ length: 8 }, () => simulateMachine('as assumed', 4, assumed, random));
    const [together, alone] = [tally(all.flatMap((one) => one.together.changes), assumed), tally(all.flatMap((one) => one.alone.changes), assumed)];
    expect(together.count).toBe(8 * 2 * 3);
    expect(together.share).toBeGreaterThan(alone.share - 0.05);
    expect(together.farLeft).toBeLessThanOrEqual(0.03);
  });
});
