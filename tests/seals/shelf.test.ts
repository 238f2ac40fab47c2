import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Stock } from '../../src/parts/ledger.ts';
import { unmetOf } from '../../src/seals/order-unmet.ts';
import { sealsOn } from '../../src/seals/shelf.ts';
import { shimPieces, shimsOn } from '../../src/seals/shelf-shims.ts';

type Counts = Readonly<Record<string, number | readonly [onHand: number, onOrder: number]>>;
const stockOf = (counts: Counts): ReadonlyMap<string, Stock> =>
  new Map(Object.entries(counts).map(([part, count]) => {
    const [onHand, onOrder] = typeof count === 'number' ? [count, 0] : count;
    return [part, { onHand, onOrder, unsure: false, countedAt: null }];
  }));

const seal = (sealMm: number, shimMm = 0) => ({ sealMm, shimMm });

describe('shims on the shelf', () => {
  test('one piece is taken before two that make the same height; what lies there before what does not', () => {
    expect(shimPieces(stockOf({ 'shim-0.5': 4, 'shim-1': 1 }), 1)).toEqual([{ part: 'shim-1', count: 1 }]);
    expect(shimPieces(stockOf({ 'shim-0.5': 4, 'shim-1': 0 }), 1)).toEqual([{ part: 'shim-0.5', count: 2 }]);
    expect(shimPieces(stockOf({ 'shim-0.5': 1, 'shim-1': 1 }), 1.5)).toEqual([{ part: 'shim-1', count: 1 }, { part: 'shim-0.5', count: 1 }]);
    expect(shimPieces(stockOf({ 'shim-0.5': 0 }), 0.5)).toEqual([{ part: 'shim-0.5', count: 1 }]);
  });

  test('where nobody told of shims none is taken, and none for a seal without one', () => {
    expect(shimPieces(stockOf({ 'seal-8': 3 }), 0.5)).toEqual([]);
    expect(shimPieces(stockOf({ 'shim-0.5': 3 }), 0)).toEqual([]);
    expect(shimsOn(stockOf({ 'seal-8': 3, shim: 2 }))).toBeUndefined();
  });

  test('the pieces always make up the height', () => {
    fc.assert(fc.property(fc.dictionary(fc.constantFrom('shim-0.5', 'shim-1', 'shim-0.25'), fc.nat(4), { minKeys: 1 }), fc.constantFrom(0.25, 0.5, 0.75, 1, 1.5, 2), (counts, mm) => {
      const sum = shimPieces(stockOf(counts), mm).reduce((all, { part, count }) => all + Number(part.slice(5)) * count, 0);
      expect(sum).toBeCloseTo(mm, 9);
    }));
  });

  test('two thin ones count as one high one', () => {
    expect(shimsOn(stockOf({ 'shim-0.5': 5, 'shim-1': [1, 2] }))?.(1)).toEqual({ onHand: 3, onOrder: 2 });
  });
});

describe('a seal with its shim', () => {
  test('is there as often as both are; a shim that alone is missing is named', () => {
    const shelf = sealsOn(stockOf({ 'seal-8': [3, 1], 'shim-0.5': [1, 1] }));
    expect(shelf?.(seal(8))).toEqual({ onHand: 3, onOrder: 1 });
    expect(shelf?.(seal(8, 0.5))).toEqual({ onHand: 1, onOrder: 1 });
    expect(sealsOn(stockOf({ 'seal-8': 2, 'shim-0.5': 0 }))?.(seal(8, 0.5))).toEqual({ onHand: 0, onOrder: 0, lacks: 'shim' });
    expect(sealsOn(stockOf({ 'seal-8': 2 }))?.(seal(8, 0.5))).toEqual({ onHand: 2, onOrder: 0 });
    expect(sealsOn(stockOf({ 'shim-0.5': 2 }))).toBeUndefined();
  });
});

describe('what has to be ordered', () => {
  test('each piece counts once; what is on its way is not ordered twice', () => {
    expect(unmetOf([seal(8, 0.5), seal(8, 0.5), seal(8, 0.5)], stockOf({ 'seal-8': [1, 1], 'shim-0.5': 1 }))).toEqual([undefined, { seal: false, shimMm: 0.5 }, { seal: true, shimMm: 0.5 }]);
  });

  test('the shim alone where its seal lies ready, and nothing where both do', () => {
    expect(unmetOf([seal(8, 0.5), seal(7.5)], stockOf({ 'seal-8': 1, 'seal-7.5': 1, 'shim-1': 0 }))).toEqual([{ seal: false, shimMm: 0.5 }, undefined]);
    expect(unmetOf([seal(8, 1)], stockOf({ 'seal-8': 1, 'shim-0.5': 2 }))).toEqual([undefined]);
  });

  test('without a count both are named; shims nobody told of are no order by themselves', () => {
    expect(unmetOf([seal(8, 0.5), undefined], stockOf({}))).toEqual([{ seal: true, shimMm: 0.5 }, { seal: true, shimMm: 0 }]);
    expect(unmetOf([seal(8, 0.5)], stockOf({ 'seal-8': 1 }))).toEqual([undefined]);
  });
});
