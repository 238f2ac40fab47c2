import type { PartId, Stock } from '../parts/ledger.ts';
import { sealsOn, type OnShelf, type Stack } from './shelf.ts';
import { shimsOn } from './shelf-shims.ts';

/** What of a seal and its shim has to be ordered; `shimMm` 0: no shim, `seal` false: it lies ready. */
export type Unmet = { readonly seal: boolean; readonly shimMm: number };

/** Takes from what lies there or is on its way, piece by piece; a kind nobody ever told of is never there. */
const countdown = <K>(known: ((key: K) => OnShelf) | undefined) => {
  const left = new Map<K, number>();
  return (key: K): boolean => {
    if (!known) return false;
    const { onHand, onOrder } = known(key);
    const have = left.get(key) ?? onHand + onOrder;
    left.set(key, have - 1);
    return have > 0;
  };
};

/**
 * For each stack wanted, in their order, what neither lies on the shelf nor is on its way: each piece counts once. Undefined
 * where all is there. Shims nobody ever told of are named beside a seal that is ordered, and are no order by themselves.
 */
export const unmetOf = (stacks: readonly (Stack | undefined)[], stock: ReadonlyMap<PartId, Stock>): readonly (Unmet | undefined)[] => {
  const seals = sealsOn(stock);
  const shims = shimsOn(stock);
  const sealThere = countdown(seals && ((mm: number) => seals({ sealMm: mm, shimMm: 0 })));
  const shimThere = countdown(shims);
  return stacks.map((stack) => {
    if (!stack) return { seal: true, shimMm: 0 };
    const seal = !sealThere(stack.sealMm);
    const shim = stack.shimMm > 0 && !shimThere(stack.shimMm) && (seal || shims !== undefined);
    return seal || shim ? { seal, shimMm: shim ? stack.shimMm : 0 } : undefined;
  });
};
