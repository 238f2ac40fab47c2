import type { PartId, Stock } from '../parts/ledger.ts';
import { cafeShelf, stockOn } from '../parts/records.ts';
import { sealPart } from '../parts/seal-part.ts';
import type { Tx } from '../store/store.ts';

/** Seals of one size on the café's shelf, and on their way to it. */
export type OnShelf = { readonly onHand: number; readonly onOrder: number };

/** The seals a café has; undefined where nobody ever told of any: then nothing is said of the shelf. */
export type SealShelf = ((sizeMm: number) => OnShelf) | undefined;

export const sealsOn = (stock: ReadonlyMap<PartId, Stock>): SealShelf =>
  [...stock.keys()].some((part) => part.startsWith('seal-')) ? (sizeMm) => stock.get(sealPart(sizeMm)) ?? { onHand: 0, onOrder: 0 } : undefined;

export const shelfOf = async (tx: Tx, cafe: string): Promise<SealShelf> => sealsOn(await stockOn(tx, cafeShelf(cafe)));
