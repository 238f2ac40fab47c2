import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { instant } from '../../src/time/instant.ts';
import { afterTimeWithin, intersect, subtract, tidy, type Span } from '../../src/bookings/span.ts';

const of = (start: number, end: number): Span => ({ start: instant(start), end: instant(end) });
const anySpan = fc.tuple(fc.nat(60), fc.nat(12)).map(([start, length]) => of(start, start + length));
const anySpans = fc.array(anySpan, { maxLength: 8 });

/** The whole ticks that a list of spans holds: the plain meaning the set operations are checked against. */
const ticks = (spans: readonly Span[]): Set<number> => {
  const held = new Set<number>();
  for (const one of spans) for (let tick: number = one.start; tick < one.end; tick += 1) held.add(tick);
  return held;
};

describe('stretches of time', () => {
  test('set operations mean what they say, tick by tick', () => {
    fc.assert(
      fc.property(anySpans, anySpans, (left, right) => {
        const a = ticks(left);
        const b = ticks(right);
        expect(ticks(tidy(left))).toEqual(a);
        expect(ticks(intersect(left, right))).toEqual(new Set([...a].filter((tick) => b.has(tick))));
        expect(ticks(subtract(left, right))).toEqual(new Set([...a].filter((tick) => !b.has(tick))));
      }),
      { seed: 20271, numRuns: 500 },
    );
  });

  test('tidy spans are sorted, apart and not empty', () => {
    fc.assert(
      fc.property(anySpans, (spans) => {
        const done = tidy(spans);
        done.forEach((one, i) => {
          expect(one.start).toBeLessThan(one.end);
          const before = done[i - 1];
          if (before !== undefined) expect(before.end).toBeLessThan(one.start);
        });
      }),
      { seed: 20272 },
    );
  });

  test('time that counts only inside the spans is counted back the same', () => {
    fc.assert(
      fc.property(anySpans, fc.nat(70), fc.integer({ min: 1, max: 30 }), (spans, from, ms) => {
        const until = afterTimeWithin(spans, instant(from), ms);
        const inside = ticks(intersect(spans, [of(from, until)])).size;
        const last = Math.max(from, ...tidy(spans).map((one) => one.end));
        expect(inside + Math.max(0, until - last)).toBe(ms);
      }),
      { seed: 20273, numRuns: 500 },
    );
  });

  test('hours nobody entered do not make anything wait for ever', () => {
    expect(afterTimeWithin([], instant(5), 10)).toBe(15);
    expect(afterTimeWithin([of(0, 3)], instant(5), 10)).toBe(15);
  });
});
