import type { Selectable } from 'kysely';
import type { Tx } from '../store/store.ts';
import type { StockMoveRow } from '../store/tables/parts.ts';
import { instant, type Instant } from '../time/instant.ts';
import { record, stockAt, type Move, type MoveKind, type PartId, type Recorded, type ShelfId, type Stock } from './ledger.ts';

type Row = Selectable<StockMoveRow>;

/** Where a part lies: a café's shelf, or the van of a person. */
export type Shelf = { readonly id: ShelfId; readonly cafe: string | null; readonly person: string | null };

export const cafeShelf = (cafe: string): Shelf => ({ id: `cafe:${cafe}`, cafe, person: null });
export const vanOf = (person: string): Shelf => ({ id: `van:${person}`, cafe: null, person });

export type Said = { readonly id: string | null; readonly name: string };

const moveOf = (row: Row): Move => {
  const common = { id: row.id, shelf: row.shelf, at: instant(row.at) };
  if (row.kind === 'taken back') return { ...common, kind: 'taken back', moveId: row.undoes ?? '' };
  return { ...common, kind: row.kind as MoveKind, part: row.part ?? '', count: row.count };
};

const GOES_OUT: readonly string[] = ['fitted', 'thrown away', 'moved out'] satisfies readonly MoveKind[];

/** What happens first of all that is told at one instant. */
const rank = ({ kind }: Row): number => (kind === 'ordered' ? 0 : GOES_OUT.includes(kind) ? 2 : 1);

/** Oldest first; at one instant a piece is ordered before it comes, and comes before it goes. */
export const movesOn = async (tx: Tx, shelf: Shelf): Promise<readonly Move[]> => {
  const rows = await tx.selectFrom('stock_move').selectAll().where('shelf', '=', shelf.id).orderBy('at').orderBy('id').execute();
  return rows.toSorted((a, b) => a.at - b.at || rank(a) - rank(b)).map(moveOf);
};

/** What lies there, by part; nothing for a part nobody ever told of. */
export const stockOn = async (tx: Tx, shelf: Shelf): Promise<ReadonlyMap<PartId, Stock>> => stockAt(await movesOn(tx, shelf), shelf.id);

const rowOf = (shelf: Shelf, move: Move, by: Said, visit: string | null): Row => ({
  id: move.id, shelf: shelf.id, cafe: shelf.cafe, person: shelf.person, kind: move.kind, visit, by_person: by.id, by_name: by.name, at: move.at,
  ...(move.kind === 'taken back' ? { part: null, count: 0, undoes: move.moveId } : { part: move.part, count: move.count, undoes: null }),
});

/** Writes a move down once; what cannot be is refused. */
export const putMove = async (tx: Tx, shelf: Shelf, move: Move, by: Said, visit: string | null = null): Promise<Recorded> => {
  const recorded = record(await movesOn(tx, shelf), move);
  if (recorded.kind === 'recorded') await tx.insertInto('stock_move').values(rowOf(shelf, move, by, visit)).execute();
  return recorded;
};

/** Pieces of each part used at a visit, and from where. */
export type Used = { readonly shelf: Shelf; readonly part: PartId; readonly count: number };

const shelfOf = (row: Row): Shelf => ({ id: row.shelf, cafe: row.cafe, person: row.person });

/** What stands written of a visit, taken back lines left out. */
export const usedAt = async (tx: Tx, visit: string): Promise<readonly (Used & { readonly id: string })[]> => {
  const rows = await tx.selectFrom('stock_move').selectAll().where('visit', '=', visit).orderBy('id').execute();
  const gone = new Set(rows.flatMap(({ undoes }) => (undoes === null ? [] : [undoes])));
  return rows.flatMap((row) => (row.part === null || gone.has(row.id) ? [] : [{ id: row.id, shelf: shelfOf(row), part: row.part, count: row.count }]));
};

/** Makes the ledger say what was used at a visit: told again, only what differs is taken back and written anew. `at` is the visit's end. */
export const settleVisit = async (tx: Tx, visit: string, used: readonly Used[], at: Instant, by: Said): Promise<void> => {
  const before = await usedAt(tx, visit);
  const same = (one: Used, other: Used): boolean => one.shelf.id === other.shelf.id && one.part === other.part && one.count === other.count;
  for (const old of before) if (!used.some((one) => same(one, old))) await putMove(tx, old.shelf, { id: `${old.id}.back`, shelf: old.shelf.id, at, kind: 'taken back', moveId: old.id }, by, visit);
  const { n } = await tx.selectFrom('stock_move').select((eb) => eb.fn.countAll<number>().as('n')).where('visit', '=', visit).executeTakeFirstOrThrow();
  for (const [i, one] of used.filter((each) => !before.some((old) => same(each, old))).entries())
    await putMove(tx, one.shelf, { id: `${visit}.${String(Number(n) + i)}.${one.part}`, shelf: one.shelf.id, at, kind: 'fitted', part: one.part, count: one.count }, by, visit);
};
