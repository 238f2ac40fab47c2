import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { instant } from '../../src/time/instant.ts';
import { noStock, record, stockAt, stockOf, type Move, type MoveKind } from '../../src/parts/ledger.ts';

const kinds: readonly MoveKind[] = [
  'delivered',
  'moved in',
  'fitted',
  'thrown away',
  'moved out',
  'counted',
  'ordered',
  'order called off',
];

const move = (id: string, kind: MoveKind, count: number, at = 0): Move => ({
  id,
  kind,
  count,
  at: instant(at),
  shelf: 'bar',
  part: 'seal-8',
});

const kept = (moves: readonly Move[]): readonly Move[] =>
  moves.reduce<readonly Move[]>((ledger, next) => {
    const recorded = record(ledger, next);
    return recorded.kind === 'recorded' ? recorded.moves : ledger;
  }, []);

const shelf = (...moves: readonly Move[]) => stockOf(kept(moves), 'bar', 'seal-8');

describe('the shelf', () => {
  test('ordered, delivered, fitted', () => {
    const steps = [move('a', 'ordered', 4, 1), move('b', 'delivered', 3, 2), move('c', 'fitted', 1, 3)];
    expect(shelf(...steps)).toEqual({ ...noStock, onHand: 2, onOrder: 1 });
  });

  test('a seal fitted that the ledger never knew: no minus on the shelf, and a count is wanted', () => {
    const recorded = record([], move('a', 'fitted', 1));
    expect(recorded).toMatchObject({ kind: 'recorded', short: 1 });
    expect(shelf(move('a', 'fitted', 1))).toMatchObject({ onHand: 0, unsure: true });
  });

  test('a count settles what was unsure, and a move written down late does not change it', () => {
    const steps = [move('a', 'fitted', 1, 1), move('b', 'counted', 5, 10), move('late', 'fitted', 2, 5)];
    expect(shelf(...steps)).toEqual({ ...noStock, onHand: 5, countedAt: 10 });
  });

  test('"done" pressed twice takes one seal', () => {
    const steps = [move('a', 'delivered', 2, 1), move('b', 'fitted', 1, 2), move('b', 'fitted', 1, 2)];
    expect(shelf(...steps).onHand).toBe(1);
    expect(record(kept(steps), move('b', 'fitted', 1, 2)).kind).toBe('already');
  });

  test('taken back: as if it had never been, once', () => {
    const back = (id: string): Move => ({ id, kind: 'taken back', moveId: 'b', at: instant(3), shelf: 'bar' });
    const steps = [move('a', 'delivered', 2, 1), move('b', 'fitted', 1, 2), back('c'), back('d')];
    expect(shelf(...steps).onHand).toBe(2);
    expect(record(kept(steps), back('e')).kind).toBe('already');
    expect(record([], back('e'))).toEqual({ kind: 'refused', why: 'nothing to take back' });
  });

  test('another place cannot take back this one', () => {
    const ledger = kept([move('b', 'delivered', 1)]);
    const foreign: Move = { id: 'x', kind: 'taken back', moveId: 'b', at: instant(3), shelf: 'van' };
    expect(record(ledger, foreign)).toEqual({ kind: 'refused', why: 'nothing to take back' });
  });

  test.each([0, -1, 1.5, Number.NaN])('a delivery of %f pieces is refused', (count) => {
    expect(record([], move('a', 'delivered', count))).toEqual({ kind: 'refused', why: 'not a whole count' });
  });

  test('counted empty is a count', () => {
    expect(shelf(move('a', 'delivered', 2, 1), move('b', 'counted', 0, 2)).onHand).toBe(0);
  });

  const anyMove = fc
    .record({
      id: fc.nat(30),
      kind: fc.constantFrom(...kinds),
      count: fc.integer({ min: 1, max: 5 }),
      at: fc.nat(20),
      shelf: fc.constantFrom('bar', 'van'),
      part: fc.constantFrom('seal-8', 'screen'),
    })
    .map((raw): Move => ({ ...raw, id: `m${raw.id}`, at: instant(raw.at) }));

  test('whatever is pressed, in any order and twice: never below zero, places and parts apart, arrival order irrelevant', () => {
    fc.assert(
      fc.property(fc.uniqueArray(anyMove, { maxLength: 25, selector: (m) => m.id }), (raw) => {
        // Moves of one moment keep the order in which they arrived, so each gets a moment of its own here.
        const moves = raw.map((m, i) => ({ ...m, at: instant(m.at * 100 + i) }));
        const once = kept(moves);
        expect(kept([...moves, ...moves])).toEqual(once);
        const shuffled = kept(moves.toReversed());
        for (const [part, stock] of stockAt(once, 'bar')) {
          expect(stock.onHand).toBeGreaterThanOrEqual(0);
          expect(stock.onOrder).toBeGreaterThanOrEqual(0);
          expect(stockOf(shuffled, 'bar', part)).toEqual(stock);
          const alone = once.filter((m) => m.kind !== 'taken back' && m.shelf === 'bar' && m.part === part);
          expect(stockOf(alone, 'bar', part)).toEqual(stock);
        }
      }),
      { seed: 20264, numRuns: 500 },
    );
  });

  test('without a shortage the balance is plain arithmetic', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 5 }), { maxLength: 20 }), (counts) => {
        const ins = counts.map((count, i) => move(`in${i}`, 'delivered', count, i * 2));
        const outs = counts.map((count, i) => move(`out${i}`, 'fitted', Math.ceil(count / 2), i * 2 + 1));
        const left = counts.reduce((sum, count) => sum + count - Math.ceil(count / 2), 0);
        expect(shelf(...ins, ...outs)).toMatchObject({ onHand: left, unsure: false });
      }),
      { seed: 20265 },
    );
  });
});
