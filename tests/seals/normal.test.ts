import { describe, expect, it } from 'vitest';
import { normalBelow, normalKernel, Z80 } from '../../src/seals/normal.ts';

describe('the normal distribution', () => {
  // Values of the standard normal distribution function, from memory of published tables.
  it.each([
    [0, 0.5],
    [1, 0.8413447460685429],
    [1.96, 0.9750021048517795],
    [-3, 0.0013498980316301],
    [-6, 9.865876450377e-10],
  ])('lies below %d with the tabulated chance', (z, chance) => {
    expect(normalBelow(z)).toBeCloseTo(chance, 12);
    expect(normalBelow(z) / chance).toBeCloseTo(1, 8);
  });

  it('has a tenth above the end of the 80 % range', () => {
    expect(1 - normalBelow(Z80)).toBeCloseTo(0.1, 12);
  });

  it('joins its two branches and both tails without a step', () => {
    for (const z of [-37.1, -7.0710678, 7.0710678]) {
      expect(Math.abs(normalBelow(z + 1e-7) - normalBelow(z - 1e-7))).toBeLessThan(1e-10);
    }
    for (let z = -8; z < 8; z += 0.01) expect(normalBelow(z + 0.01)).toBeGreaterThanOrEqual(normalBelow(z));
  });

  it('makes kernels that keep the total and the spread', () => {
    const kernel = normalKernel(3.75);
    const reach = (kernel.length - 1) / 2;
    const total = kernel.reduce((a, b) => a + b, 0);
    const variance = kernel.reduce((sum, weight, i) => sum + weight * (i - reach) ** 2, 0);
    expect(total).toBeCloseTo(1, 12);
    expect(Math.sqrt(variance)).toBeCloseTo(3.75, 1);
    expect(Array.from(normalKernel(0))).toEqual([1]);
  });
});
