import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compile } from '../../../src/faults/compiled.ts';
import type { Cause, RecordChance } from '../../../src/faults/model.ts';
import { MOST_FROM_RECORDS, oddsRatio, prior } from '../../../src/faults/prior.ts';
import { cause, model, symptom } from './tiny.ts';

const chancesOf = (causes: readonly Cause[], weights: Readonly<Record<string, number>>, records: readonly RecordChance[] = []): readonly number[] => [
  ...prior(compile(model({ causes, symptoms: [symptom(weights)] }), 'symptom'), records),
];
const odds = (p: number): number => p / (1 - p);

describe('chances before the first answer', () => {
  it('are the weights, normalised', () => {
    expect(chancesOf([cause('a'), cause('b')], { a: 3, b: 1 })).toEqual([0.75, 0.25]);
  });

  it('a record multiplies the odds of its cause by how much its chance has changed', () => {
    const [seal] = chancesOf([cause('seal'), cause('dirt')], { seal: 1, dirt: 3 }, [{ cause: 'seal', now: 0.4, usual: 0.2 }]);
    expect(odds(seal!)).toBeCloseTo((odds(0.4) / odds(0.2)) * odds(0.25), 12);
  });

  it('a record that says what the weight already contained changes nothing', () => {
    expect(chancesOf([cause('a'), cause('b')], { a: 1, b: 1 }, [{ cause: 'a', now: 0.3, usual: 0.3 }])).toEqual([0.5, 0.5]);
  });

  it('a record moves no more than tenfold, also one that is certain, and one that is no number moves nothing', () => {
    expect(oddsRatio({ cause: 'a', now: 1, usual: 0.2 })).toBe(MOST_FROM_RECORDS);
    expect(oddsRatio({ cause: 'a', now: 0, usual: 0.2 })).toBe(1 / MOST_FROM_RECORDS);
    expect(oddsRatio({ cause: 'a', now: 0, usual: 0 })).toBe(1);
    expect(oddsRatio({ cause: 'a', now: 0.999, usual: 0.1 })).toBe(MOST_FROM_RECORDS);
  });

  it('a pair moves with its part', () => {
    const causes = [cause('a'), cause('b'), cause('ab', { parts: ['a', 'b'] })];
    const moved = chancesOf(causes, { a: 1, b: 1, ab: 1 }, [{ cause: 'a', now: 0.5, usual: 0.2 }]);
    expect(moved[2]! / moved[1]!).toBeCloseTo(4, 12);
    expect(moved[0]).toBeCloseTo(moved[2]!, 12);
  });

  it('a floor holds a rare danger up, whatever records say, and the rest keeps its proportions', () => {
    const causes = [cause('a'), cause('b'), cause('shock', { danger: 'machine-off', harm: 'people', floor: 0.004 })];
    const lifted = chancesOf(causes, { a: 30, b: 10, shock: 0.001 }, [{ cause: 'shock', now: 0.01, usual: 0.1 }]);
    expect(lifted[2]).toBeCloseTo(0.004, 12);
    expect(lifted[0]! / lifted[1]!).toBeCloseTo(3, 12);
  });

  it('parts of a pair that are no causes of their own here start at 0, without a floor', () => {
    const causes = [cause('a', { floor: 0.01 }), cause('b'), cause('ab', { parts: ['a', 'b'] }), cause('c')];
    expect(chancesOf(causes, { ab: 1, c: 1 })).toEqual([0.5, 0.5, 0, 0]);
  });

  it('always sum to 1 and keep every floor', () => {
    const many = fc.array(fc.record({ weight: fc.double({ min: 1e-6, max: 100, noNaN: true }), floor: fc.constantFrom(0, 0.001, 0.01, 0.05) }), { minLength: 2, maxLength: 12 });
    fc.assert(
      fc.property(many, fc.double({ min: 0, max: 1, noNaN: true }), (all, now) => {
        const causes = all.map(({ floor }, i) => cause(`c${i}`, { floor }));
        const weights = Object.fromEntries(all.map(({ weight }, i) => [`c${i}`, weight]));
        const chances = chancesOf(causes, weights, [{ cause: 'c0', now, usual: 0.2 }]);
        expect(chances.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
        chances.forEach((chance, c) => expect(chance).toBeGreaterThanOrEqual(all[c]!.floor - 1e-12));
      }),
      { seed: 20260729, numRuns: 300 },
    );
  });

  it('a symptom without any weight is a mistake, not a guess', () => {
    expect(() => chancesOf([cause('a'), cause('b')], { a: 0, b: 0 })).toThrow(RangeError);
  });
});
