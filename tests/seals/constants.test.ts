import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sealConstants } from '../../src/seals/constants.ts';
import { assumed } from './assumed.ts';

const shipped = readFileSync(new URL('../../config/seals.yaml', import.meta.url), 'utf8');

describe('the assumed figures of seals', () => {
  it('are read from the file the project ships', () => {
    expect(assumed.life.shapes).toHaveLength(8);
    expect(assumed.life.gridPoints).toBe(81);
  });

  it('are refused when the weights of the shapes do not add up', () => {
    expect(() => sealConstants(shipped.replace('[0.03, 0.12', '[0.30, 0.12'))).toThrow(/add up to 1/);
  });

  it('are refused when a shape has no weight', () => {
    expect(() => sealConstants(shipped.replace('shapes: [1.5, 2,', 'shapes: [2,'))).toThrow(/one weight/);
  });

  it('are refused when the handle positions do not run from left to right', () => {
    expect(() => sealConstants(shipped.replace('orderDegrees: 30', 'orderDegrees: 60'))).toThrow(/left to right/);
  });

  it('are refused with an unknown or a missing name', () => {
    expect(() => sealConstants(shipped.replace('orderDegrees', 'orderDegree'))).toThrow(/orderDegree/);
  });

  it('are refused when a failed ring would look no worse than a sound one', () => {
    expect(() => sealConstants(shipped.replace('badWhenSound: 0.03', 'badWhenSound: 0.9'))).toThrow(/more often/);
  });
});
