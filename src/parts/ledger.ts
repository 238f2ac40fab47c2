import type { Instant } from '../time/instant.ts';

export type PartId = string;

/** A café's shelf or a technician's van. */
export type ShelfId = string;

export type Move = {
  /** Says the same move twice when it arrives twice. */
  readonly id: string;
  readonly shelf: ShelfId;
  readonly at: Instant;
} & (
  | { readonly kind: 'taken back'; readonly moveId: string }
  | {
      /**
       * `counted` sets what is there; `ordered` and `order called off` touch only what is on its way; a delivery
       * also brings down what is on its way.
       */
      readonly kind: MoveKind;
      readonly part: PartId;
      /** Pieces, whole, at least 1; 0 for `counted` alone. */
      readonly count: number;
    }
);

export type MoveKind =
  | 'delivered'
  | 'moved in'
  | 'fitted'
  | 'thrown away'
  | 'moved out'
  | 'counted'
  | 'ordered'
  | 'order called off';

type PieceMove = Extract<Move, { readonly part: PartId }>;

export type Stock = {
  readonly onHand: number;
  readonly onOrder: number;
  /** More has gone out than was ever known to be there; cleared by the next count. */
  readonly unsure: boolean;
  readonly countedAt: Instant | null;
};

export const noStock: Stock = { onHand: 0, onOrder: 0, unsure: false, countedAt: null };

export type Recorded =
  /** `short`: pieces that went out though the ledger knew of none; they are believed, and the shelf wants a count. */
  | { readonly kind: 'recorded'; readonly moves: readonly Move[]; readonly short: number }
  | { readonly kind: 'already' }
  | { readonly kind: 'refused'; readonly why: 'not a whole count' | 'nothing to take back' };

export const record = (moves: readonly Move[], move: Move): Recorded => {
  if (moves.some((known) => known.id === move.id)) return { kind: 'already' };
  if (move.kind === 'taken back') return takeBack(moves, move);
  const least = move.kind === 'counted' ? 0 : 1;
  if (!Number.isSafeInteger(move.count) || move.count < least) {
    return { kind: 'refused', why: 'not a whole count' };
  }
  return { kind: 'recorded', moves: [...moves, move], short: shortBy(moves, move) };
};

const takeBack = (moves: readonly Move[], move: Extract<Move, { readonly kind: 'taken back' }>): Recorded => {
  if (moves.some((known) => known.kind === 'taken back' && known.moveId === move.moveId)) return { kind: 'already' };
  const there = moves.some(
    (known) => known.id === move.moveId && known.kind !== 'taken back' && known.shelf === move.shelf,
  );
  if (!there) return { kind: 'refused', why: 'nothing to take back' };
  return { kind: 'recorded', moves: [...moves, move], short: 0 };
};

const shortBy = (moves: readonly Move[], move: PieceMove): number => {
  if (!isOut(move.kind)) return 0;
  const before = moves.filter((known) => known.at <= move.at);
  return Math.max(0, move.count - stockOf(before, move.shelf, move.part).onHand);
};

const isOut = (kind: MoveKind): boolean => kind === 'fitted' || kind === 'thrown away' || kind === 'moved out';

/** Moves count in the order of their times, so one that is written down late finds its place before a later count. */
export const stockOf = (moves: readonly Move[], shelf: ShelfId, part: PartId): Stock =>
  standing(moves)
    .filter((move) => move.shelf === shelf && move.part === part)
    .reduce(after, noStock);

export const stockAt = (moves: readonly Move[], shelf: ShelfId): ReadonlyMap<PartId, Stock> => {
  const stocks = new Map<PartId, Stock>();
  for (const move of standing(moves)) {
    if (move.shelf === shelf) stocks.set(move.part, after(stocks.get(move.part) ?? noStock, move));
  }
  return stocks;
};

const standing = (moves: readonly Move[]): readonly PieceMove[] => {
  const gone = new Set(moves.flatMap((move) => (move.kind === 'taken back' ? [move.moveId] : [])));
  const seen = new Set<string>();
  return moves
    .filter((move): move is PieceMove => {
      const first = !seen.has(move.id);
      seen.add(move.id);
      return move.kind !== 'taken back' && first && !gone.has(move.id);
    })
    .toSorted((a, b) => a.at - b.at);
};

const after = (stock: Stock, move: PieceMove): Stock => {
  switch (move.kind) {
    case 'counted':
      return { ...stock, onHand: move.count, unsure: false, countedAt: move.at };
    case 'ordered':
      return { ...stock, onOrder: stock.onOrder + move.count };
    case 'order called off':
      return { ...stock, onOrder: Math.max(0, stock.onOrder - move.count) };
    case 'delivered':
      return { ...stock, onHand: stock.onHand + move.count, onOrder: Math.max(0, stock.onOrder - move.count) };
    case 'moved in':
      return { ...stock, onHand: stock.onHand + move.count };
    case 'fitted':
    case 'thrown away':
    case 'moved out':
      return goneOut(stock, move.count);
    default:
      return move.kind satisfies never;
  }
};

const goneOut = (stock: Stock, count: number): Stock => ({
  ...stock,
  onHand: Math.max(0, stock.onHand - count),
  unsure: stock.unsure || count > stock.onHand,
});
