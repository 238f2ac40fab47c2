import type { PartId, Stock } from '../parts/ledger.ts';
import { cafeShelf, movesOn, putMove, stockOn, type Said } from '../parts/records.ts';
import { sealPart } from '../parts/seal-part.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { shimPieces, shimsOn } from './shelf-shims.ts';

/** A seal and the height of the shims above it, both in millimetres; 0: no shim. */
export type Stack = { readonly sealMm: number; readonly shimMm: number };

/** As it was written down; null: not known. */
export type FittedStack = { readonly sealMm: number | null; readonly shimMm: number | null };

/** How often something could be fitted from the café's shelf, and once what is on its way has come. */
export type OnShelf = { readonly onHand: number; readonly onOrder: number; /** The seal lies there and its shim does not. */ readonly lacks?: 'shim' };

/** The seals a café has, with their shims; undefined where nobody ever told of any seal: then nothing is said of the shelf. */
export type SealShelf = ((wanted: Stack) => OnShelf) | undefined;

const NOTHING: OnShelf = { onHand: 0, onOrder: 0 };

/** A shim nobody ever told of is not missed: who never counted is not told that the shelf is short. */
export const sealsOn = (stock: ReadonlyMap<PartId, Stock>): SealShelf => {
  if (![...stock.keys()].some((part) => part.startsWith('seal-'))) return undefined;
  const shims = shimsOn(stock);
  return ({ sealMm, shimMm }) => {
    const { onHand, onOrder } = stock.get(sealPart(sealMm)) ?? NOTHING;
    if (shimMm <= 0 || !shims) return { onHand, onOrder };
    const shim = shims(shimMm);
    const ready = Math.min(onHand, shim.onHand);
    return { onHand: ready, onOrder: Math.min(onHand + onOrder, shim.onHand + shim.onOrder) - ready, ...(onHand > 0 && shim.onHand === 0 ? { lacks: 'shim' as const } : {}) };
  };
};

export const shelfOf = async (tx: Tx, cafe: string): Promise<SealShelf> => sealsOn(await stockOn(tx, cafeShelf(cafe)));

/** What was written down as fitted: `id` names that line, so that each piece is taken once and can be put back. */
export type Fitted = { readonly id: string; readonly cafe: string; readonly at: Instant; readonly by: Said };

const taken = async (tx: Tx, { id, cafe, at, by }: Fitted, part: PartId, count: number, mark = ''): Promise<void> => {
  const shelf = cafeShelf(cafe);
  await putMove(tx, shelf, { id: `fit.${id}${mark}`, shelf: shelf.id, at, kind: 'fitted', part, count }, by);
};

/** Of a part somebody told of only. */
export const takeFromShelf = async (tx: Tx, fitted: Fitted & { readonly part: PartId }): Promise<void> => {
  if ((await stockOn(tx, cafeShelf(fitted.cafe))).has(fitted.part)) await taken(tx, fitted, fitted.part, 1);
};

/** A seal and the shims above it. A shim that comes out is not put back: paper that was wet is thrown away (common practice, no source). */
export const takeStack = async (tx: Tx, fitted: Fitted & FittedStack): Promise<void> => {
  const stock = await stockOn(tx, cafeShelf(fitted.cafe));
  if (fitted.sealMm !== null && sealsOn(stock)) await taken(tx, fitted, sealPart(fitted.sealMm), 1);
  for (const { part, count } of shimPieces(stock, fitted.shimMm ?? 0)) await taken(tx, fitted, part, count, `.${part}`);
};

/** What was written down was a slip: whatever was taken for it lies there again. */
export const putBackOnShelf = async (tx: Tx, { id, cafe, at, by }: Fitted): Promise<void> => {
  const shelf = cafeShelf(cafe);
  const mine = (await movesOn(tx, shelf)).filter((move) => move.kind === 'fitted' && (move.id === `fit.${id}` || move.id.startsWith(`fit.${id}.`)));
  for (const move of mine) await putMove(tx, shelf, { id: `${move.id}.back`, shelf: shelf.id, at, kind: 'taken back', moveId: move.id }, by);
};
