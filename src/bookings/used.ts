import type { PartId, Stock } from '../parts/ledger.ts';
import { cafeShelf, movesOn, settleVisit, vanOf, type Shelf, type Used } from '../parts/records.ts';
import { stockAt } from '../parts/ledger.ts';
import { sealPart } from '../parts/seal-part.ts';
import { shimPart } from '../parts/shim-part.ts';
import type { Tx } from '../store/store.ts';
import type { Fitted } from './closed.ts';
import { sealIn } from './fitted-record.ts';

/** Pieces of the book's parts among what was fitted, the shims above seals with them; words name a seal by its size, a shim by its height, and nothing else. */
const piecesOf = (fitted: Fitted['parts'], isPart: (part: string) => boolean): ReadonlyMap<PartId, number> => {
  const pieces = new Map<PartId, number>();
  for (const { part, count, how } of fitted) {
    const size = sealIn(part);
    const id = size !== undefined ? sealPart(size) : isPart(part) ? part : undefined;
    if (id !== undefined) pieces.set(id, (pieces.get(id) ?? 0) + count);
    if (how?.shimMm) pieces.set(shimPart(how.shimMm), (pieces.get(shimPart(how.shimMm)) ?? 0) + count);
  }
  return pieces;
};

type Known = { readonly shelf: Shelf; readonly stock: ReadonlyMap<PartId, Stock> };

/** What lay there just before, this visit's own moves left out. Undefined: nobody ever said anything of that place. */
const before = async (tx: Tx, shelf: Shelf, { id, at }: Fitted): Promise<Known | undefined> => {
  const moves = (await movesOn(tx, shelf)).filter((move) => move.at <= at && !move.id.startsWith(`${id}.`));
  return moves.length === 0 ? undefined : { shelf, stock: stockAt(moves, shelf.id) };
};

/** From the van; from the café's shelf where only that is known to hold it. A place nobody tells of is left alone. */
const sourceOf = (part: PartId, count: number, van: Known | undefined, shelf: Known | undefined): Shelf | undefined => {
  const holds = (known: Known | undefined): boolean => (known?.stock.get(part)?.onHand ?? 0) >= count;
  if (holds(van)) return van?.shelf;
  if (holds(shelf)) return shelf?.shelf;
  return van?.shelf;
};

/** Takes what a close-out says was fitted out of the van or the café's own stock; told again, only what differs moves. */
export const takeFromStock = (isPart: (part: string) => boolean) => async (tx: Tx, fitted: Fitted): Promise<void> => {
  const van = fitted.person === null ? undefined : await before(tx, vanOf(fitted.person), fitted);
  const shelf = await before(tx, cafeShelf(fitted.cafe), fitted);
  const used = [...piecesOf(fitted.parts, isPart)].flatMap(([part, count]): readonly Used[] => {
    const from = sourceOf(part, count, van, shelf);
    return from === undefined ? [] : [{ shelf: from, part, count }];
  });
  await settleVisit(tx, fitted.id, used, fitted.at, { id: fitted.person, name: fitted.by });
};
