import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { GroupHistory } from '../../../src/seals/record-evidence.ts';
import { nextSize, nextStack } from '../../../src/seals/record-forecast.ts';
import { sizeChances } from '../../../src/seals/size-chances.ts';
import { assumed } from '../assumed.ts';

const DAY = 86_400_000;
const NOW = 400 * DAY;
type Seen = { readonly sizeMm: number; readonly shimMm: number; readonly age: number | null; readonly handles: readonly (readonly [ago: number, value: string])[] };

const group = ({ sizeMm, shimMm, age, handles }: Seen): GroupHistory => ({
  seals: [{ fittedAt: age === null ? null : NOW - age * DAY, metAt: NOW - (age ?? 300) * DAY, outAt: null, sizeMm, shimMm, material: 'rubber', whyOut: null, cameOut: null }],
  readings: handles.map(([ago, value], i) => ({ what: 'handle', value, state: 'cold' as const, at: NOW - ago * DAY, look: `look${i}` })).toSorted((a, b) => a.at - b.at),
});
const chancesOf = (seen: Seen) => sizeChances(group(seen), [], assumed, NOW);
const chance = (all: readonly { readonly sizeMm: number; readonly chance: number }[], size: number): number => all.find(({ sizeMm }) => sizeMm === size)?.chance ?? 0;

describe('sizes for the van', () => {
  test.each([7, 8, 8.5])('one known size of %d mm and no handle ever read: it leads clearly, since it serves', (sizeMm) => {
    const all = chancesOf({ sizeMm, shimMm: 0, age: null, handles: [] });
    expect(all[0]?.sizeMm).toBe(sizeMm);
    expect(all[0]?.chance).toBeGreaterThan(0.75);
    expect(all[0]?.chance).toBeLessThan(0.999);
  });

  test('with a shim above it the same seal is wanted again, not one thicker by the shim', () => {
    expect(chancesOf({ sizeMm: 8, shimMm: 0.5, age: null, handles: [] })[0]?.sizeMm).toBe(8);
  });

  test('a new ring far left leads to a thinner one, a new ring far right to a thicker one', () => {
    const young = (value: string) => chancesOf({ sizeMm: 8, shimMm: 0, age: 12, handles: [[4, value], [2, value]] });
    expect(young('-30')[0]?.sizeMm).toBeLessThan(8);
    expect(young('30')[0]?.sizeMm).toBeGreaterThan(8);
    expect(chance(young('-15'), 8)).toBeGreaterThanOrEqual(0.9);
  });

  test('no size is named where none was ever recorded', () => {
    expect(sizeChances({ seals: [{ fittedAt: null, metAt: NOW - DAY, outAt: null, sizeMm: null, shimMm: null, material: null, whyOut: null, cameOut: null }], readings: [] }, [], assumed, NOW)).toEqual([]);
  });

  test('the van and the advice on the next size never name different ones, and the chances add up to one (seed 5)', () => {
    const seen = fc.record({
      sizeMm: fc.constantFrom(6.5, 7, 7.5, 8, 8.5, 9), shimMm: fc.constantFrom(0, 0, 0.5), age: fc.option(fc.integer({ min: 8, max: 300 })),
      handles: fc.array(fc.tuple(fc.integer({ min: 0, max: 280 }), fc.constantFrom('-30', '-15', '0', '15', '30', 'stop')), { maxLength: 5 }),
    });
    fc.assert(fc.property(seen, (given) => {
      const history = group(given);
      const all = chancesOf(given);
      expect(all.reduce((sum, each) => sum + each.chance, 0)).toBeCloseTo(1, 9);
      const next = nextStack(history, nextSize(history, [], assumed, NOW), assumed, NOW);
      if (!next) return;
      expect(all[0]?.sizeMm).toBe(next.sealMm);
      expect(chance(all, next.sealMm)).toBeGreaterThanOrEqual(next.sure ? 0.9 - 1e-9 : 0.5 - 1e-9);
    }), { seed: 5, numRuns: 60 });
  });
});
