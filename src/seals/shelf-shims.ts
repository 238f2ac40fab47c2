import type { PartId, Stock } from '../parts/ledger.ts';
import { shimHeight, shimPart } from '../parts/shim-part.ts';

type Count = { readonly onHand: number; readonly onOrder: number };
type Pieces = readonly { readonly part: PartId; readonly count: number }[];

/** More shims than this above one seal are a wrong seal. Common practice, no source. */
const MOST_PIECES = 3;

const sameHeight = (a: number, b: number): boolean => Math.abs(a - b) < 0.01;

/** The heights of shims somebody told of. */
const heightsOn = (stock: ReadonlyMap<PartId, Stock>): readonly number[] => [...stock.keys()].flatMap((part) => shimHeight(part) ?? []).toSorted((a, b) => b - a);

/** Every way to stack up a height, the fewest pieces first. */
const waysTo = (mm: number, heights: readonly number[], most = MOST_PIECES): readonly (readonly number[])[] => {
  if (sameHeight(mm, 0)) return [[]];
  if (most === 0 || mm < 0) return [];
  return heights.flatMap((height, i) => waysTo(mm - height, heights.slice(i), most - 1).map((rest) => [height, ...rest])).toSorted((a, b) => a.length - b.length);
};

const counted = (way: readonly number[]): Pieces => [...new Set(way)].map((height) => ({ part: shimPart(height), count: way.filter((each) => each === height).length }));

/**
 * The shims that make up a height, from those that lie there; nothing where nobody ever told of shims. Where they do not lie
 * there, one of that height all the same: it went in, so the shelf wants a count.
 */
export const shimPieces = (stock: ReadonlyMap<PartId, Stock>, mm: number): Pieces => {
  const heights = heightsOn(stock);
  if (mm <= 0 || heights.length === 0) return [];
  const ways = waysTo(mm, heights).map(counted);
  return ways.find((pieces) => pieces.every(({ part, count }) => (stock.get(part)?.onHand ?? 0) >= count)) ?? [{ part: shimPart(mm), count: 1 }];
};

/** How many times a height of shims lies there, in one piece or in several of one kind; undefined where nobody ever told of shims. */
export const shimsOn = (stock: ReadonlyMap<PartId, Stock>): ((mm: number) => Count) | undefined => {
  const heights = heightsOn(stock);
  if (heights.length === 0) return undefined;
  return (mm) => {
    const ways = waysTo(mm, heights).filter((way) => new Set(way).size === 1);
    const onHand = ways.reduce((all, way) => all + Math.floor((stock.get(shimPart(way[0] ?? mm))?.onHand ?? 0) / way.length), 0);
    return { onHand, onOrder: stock.get(shimPart(mm))?.onOrder ?? 0 };
  };
};
