import type { SealConstants } from './constants.ts';
import type { Fit } from './fit.ts';
import { stackMm } from './height.ts';
import type { NextStack } from './record-forecast.ts';
import type { OnShelf, SealShelf } from './shelf.ts';
import type { SizeOption, Stack } from './size-option.ts';

/** One size beside the others: where a new ring of it would let the handle point, with its 80 % range in degrees. */
export type SizePanel = {
  readonly stack: Stack;
  readonly degrees: number;
  readonly lowDegrees: number;
  readonly highDegrees: number;
  readonly chosen: boolean;
  readonly mayEndLeft: boolean;
  readonly shelf?: OnShelf;
};

/** Eight of ten of a normal spread lie within so many standard deviations. */
const EIGHT_IN_TEN = 1.2816;
const STEP_MM = 0.5;

const sameHeight = (a: number, b: number): boolean => Math.abs(a - b) < 0.01;

/** Of stacks of one height the one that could be fitted today, then the one with fewest shims. */
const plainest = (options: readonly SizeOption[], heightMm: number, shelf: SealShelf): SizeOption | undefined =>
  options
    .filter(({ stack }) => sameHeight(stackMm(stack), heightMm))
    .toSorted((a, b) => a.stack.shims - b.stack.shims || (shelf?.(b.stack).onHand ?? 0) - (shelf?.(a.stack).onHand ?? 0))[0];

const isChosen = ({ stack }: SizeOption, next: NextStack): boolean => stack.sealMm === next.sealMm && stack.shimMm === next.shimMm;

/**
 * A size that lies on the shelf and would stand well where the one named does not: not left of the limit beyond the chance
 * allowed, near the target. Undefined while the advice is not sure, or the named one is there.
 */
export const fromShelf = (fit: Fit | undefined, next: NextStack | undefined, shelf: SealShelf, { handle, height }: SealConstants): SizeOption | undefined => {
  if (!fit || !next?.sure || !shelf || shelf(next).onHand > 0) return undefined;
  return fit.options.find((option) => option.stack.shims === 0 && shelf(option.stack).onHand > 0 && option.leftChance <= height.leftChanceLimit && option.offDegrees <= handle.goodWithinDegrees);
};

/** The size named, its neighbours half a millimetre away, and one that lies on the shelf instead; thinnest first. */
export const sizePanels = (fit: Fit | undefined, next: NextStack | undefined, shelf: SealShelf, constants: SealConstants): readonly SizePanel[] => {
  const chosen = next && fit?.options.find((option) => isChosen(option, next));
  if (!fit || !chosen) return [];
  const height = stackMm(chosen.stack);
  const beside = [height - STEP_MM, height + STEP_MM].flatMap((mm) => plainest(fit.options, mm, shelf) ?? []);
  const instead = fromShelf(fit, next, shelf, constants);
  return [...new Set([chosen, ...beside, ...(instead ? [instead] : [])])]
    .toSorted((a, b) => stackMm(a.stack) - stackMm(b.stack))
    .map((option): SizePanel => ({
      stack: option.stack, degrees: option.degrees, lowDegrees: option.degrees - EIGHT_IN_TEN * option.spreadDegrees, highDegrees: option.degrees + EIGHT_IN_TEN * option.spreadDegrees,
      chosen: option === chosen, mayEndLeft: option.leftChance > constants.height.leftChanceLimit, ...(shelf ? { shelf: shelf(option.stack) } : {}),
    }));
};
