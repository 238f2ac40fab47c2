import { describe, expect, test } from 'vitest';
import type { FitRing, HandleReading } from '../../src/seals/height.ts';
import { newPairs } from '../../src/seals/lead-evidence.ts';
import { leadBelief } from '../../src/seals/lead.ts';
import { assumed } from './assumed.ts';

const at = (ageDays: number, degrees: number): HandleReading => ({ ageDays, at: { kind: 'angle', degrees } });
const ring = (sealMm: number, readings: readonly HandleReading[], more: Partial<FitRing> = {}): FitRing => ({ sealMm, shimMm: 0, material: 'rubber', found: false, readings, ...more });
const pairs = (rings: readonly FitRing[]) => newPairs(rings, assumed.height);

describe('what one group tells of its ramp', () => {
  test('two stacks read new are one pair, all readings of a stack taken together', () => {
    const told = pairs([ring(7.5, [at(2, -15)]), ring(7, [at(1, 0), at(8, 7.5)]), ring(7, [at(3, 7.5)], { shimMm: 0.5 })]);
    expect(told).toEqual([{ kind: 'pair', thinnerMm: 7, thickerMm: 7.5, turnedDegrees: 3.75 - -3.75, readingsThinner: 2, readingsThicker: 2 }]);
  });

  test('three stacks are two pairs of neighbours, whatever their order in time', () => {
    const told = pairs([ring(8, [at(1, -22.5)]), ring(7, [at(1, 7.5)]), ring(7.5, [at(1, -7.5)])]);
    expect(told.map((each) => (each.kind === 'pair' ? [each.thinnerMm, each.thickerMm, each.turnedDegrees] : []))).toEqual([[7, 7.5, 15], [7.5, 8, 15]]);
  });

  test.each([
    ['the same size again', [ring(7, [at(1, 0)]), ring(7, [at(1, 7.5)])]],
    ['a ring found in the group', [ring(7, [at(1, 0)], { found: true }), ring(7.5, [at(1, -15)])]],
    ['a worn ring', [ring(7, [at(90, 30)]), ring(7.5, [at(1, -15)])]],
    ['a handle against its stop', [ring(7, [{ ageDays: 1, at: { kind: 'stop' } }]), ring(7.5, [at(1, -15)])]],
  ] as const)('%s says nothing of it', (_what, rings) => {
    expect(pairs(rings)).toEqual([]);
  });

  test('a steep ramp, read new at two sizes on the group beside it, is expected here too', () => {
    const steep = pairs([ring(7, [at(1, 15), at(7, 15)]), ring(7.5, [at(1, -15), at(7, -15)])]);
    const alone = leadBelief([], [], assumed).medianMm;
    const beside = leadBelief([], [steep], assumed).medianMm;
    expect(beside).toBeLessThan(alone - 1);
    expect(leadBelief(steep, [], assumed).medianMm).toBeLessThan(beside);
  });
});
