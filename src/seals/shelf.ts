import type { PartId, Stock } from '../parts/ledger.ts';
import { cafeShelf, putMove, stockOn, type Said } from '../parts/records.ts';
import { sealPart } from '../parts/seal-part.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';

/** Seals of one size on the café's shelf, and on their way to it. */
export type OnShelf = { readonly onHand: number; readonly onOrder: number };

/** The seals a café has; undefined where nobody ever told of any: then nothing is said of the shelf. */
export type SealShelf = ((sizeMm: number) => OnShelf) | undefined;

export const sealsOn = (stock: ReadonlyMap<PartId, Stock>): SealShelf =>
  [...stock.keys()].some((part) => part.startsWith('seal-')) ? (sizeMm) => stock.get(sealPart(sizeMm)) ?? { onHand: 0, onOrder: 0 } : undefined;

export const shelfOf = async (tx: Tx, cafe: string): Promise<SealShelf> => sealsOn(await stockOn(tx, cafeShelf(cafe)));

/** Something fitted from the café's shelf: `id` names what was written down of it, so that it is taken once and can be put back. */
export type FittedPart = { readonly id: string; readonly cafe: string; readonly part: PartId; readonly at: Instant; readonly by: Said };

/** Of parts somebody told of only: who never counted is not told that the shelf is short. */
export const takeFromShelf = async (tx: Tx, { id, cafe, part, at, by }: FittedPart): Promise<void> => {
  const shelf = cafeShelf(cafe);
  const stock = await stockOn(tx, shelf);
  const told = part.startsWith('seal-') ? sealsOn(stock) !== undefined : stock.has(part);
  if (told) await putMove(tx, shelf, { id: `fit.${id}`, shelf: shelf.id, at, kind: 'fitted', part, count: 1 }, by);
};

/** What was written down was a slip: the piece lies there again, if one was taken for it. */
export const putBackOnShelf = async (tx: Tx, { id, cafe, at, by }: Omit<FittedPart, 'part'>): Promise<void> => {
  const shelf = cafeShelf(cafe);
  await putMove(tx, shelf, { id: `fit.${id}.back`, shelf: shelf.id, at, kind: 'taken back', moveId: `fit.${id}` }, by);
};
