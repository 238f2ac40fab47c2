/** One way to finish a visit: how likely it is the right one, and the pieces of each part it wants. */
type Way = { readonly chance: number; readonly needs: readonly number[] };

export type KitProblem = {
  readonly parts: readonly { readonly value: number; readonly inVan: number }[];
  /** Chance to be reached, and the ways that count towards it. */
  readonly visits: readonly { readonly target: number; readonly ways: readonly Way[] }[];
};

type Best = { value: number; bought: readonly number[] };

const rounding = 1e-9;

/**
 * Pieces of each part to buy, of least value, such that every visit reaches its target: branch and bound, exact.
 * Dear parts are decided first. A branch is left when even every open part would not reach a target, or when what is
 * missing cannot cost little enough to beat the best kit found.
 */
export const leastValue = (problem: KitProblem): readonly number[] => {
  const order = problem.parts.map((_, i) => i).toSorted((a, b) => (problem.parts[b]?.value ?? 0) - (problem.parts[a]?.value ?? 0));
  const best: Best = { value: Number.POSITIVE_INFINITY, bought: [] };
  search(problem, order, 0, problem.parts.map(() => 0), 0, best);
  if (best.value === Number.POSITIVE_INFINITY) throw new Error('a target above what every part together reaches');
  return best.bought;
};

const search = (problem: KitProblem, order: readonly number[], depth: number, bought: readonly number[], value: number, best: Best): void => {
  const open = new Set(order.slice(depth));
  const missing = leastMissing(problem, open, bought);
  if (missing === null || value + missing > best.value - rounding) return;
  if (missing === 0 && reached(problem, bought)) {
    best.value = value;
    best.bought = bought;
    return;
  }
  const part = order[depth];
  if (part === undefined) return;
  for (const count of usefulCounts(problem, part)) {
    search(problem, order, depth + 1, bought.with(part, count), value + count * (problem.parts[part]?.value ?? 0), best);
  }
};

/** None, or just enough for one of the ways: any other number is paid for nothing. */
const usefulCounts = (problem: KitProblem, part: number): readonly number[] => {
  const wanted = problem.visits.flatMap((visit) => visit.ways.map((way) => (way.needs[part] ?? 0) - (problem.parts[part]?.inVan ?? 0)));
  return [...new Set([0, ...wanted.filter((count) => count > 0)])].toSorted((a, b) => a - b);
};

const lacks = (problem: KitProblem, way: Way, bought: readonly number[], part: number): number =>
  Math.max(0, (way.needs[part] ?? 0) - (problem.parts[part]?.inVan ?? 0) - (bought[part] ?? 0));

const reached = (problem: KitProblem, bought: readonly number[]): boolean =>
  problem.visits.every((visit) => {
    const ready = visit.ways.filter((way) => way.needs.every((_, part) => lacks(problem, way, bought, part) === 0));
    return ready.reduce((sum, way) => sum + way.chance, 0) >= visit.target - rounding;
  });

/** A value that the open parts must cost at least; null if they cannot reach a target at any price. */
const leastMissing = (problem: KitProblem, open: ReadonlySet<number>, bought: readonly number[]): number | null => {
  let most = 0;
  for (const visit of problem.visits) {
    const missing = missingFor(problem, visit, open, bought);
    if (missing === null) return null;
    most = Math.max(most, missing);
  }
  return most;
};

/**
 * Each open piece's value is shared out equally among the ways that want it. Whatever set of ways a kit serves, it
 * costs at least their shares, so filling the gap with the cheapest shares, the last one in part, is a lower bound.
 */
const missingFor = (problem: KitProblem, visit: KitProblem['visits'][number], open: ReadonlySet<number>, bought: readonly number[]): number | null => {
  let gap = visit.target;
  const possible: Way[] = [];
  for (const way of visit.ways) {
    const lacking = way.needs.map((_, part) => part).filter((part) => lacks(problem, way, bought, part) > 0);
    if (lacking.length === 0) gap -= way.chance;
    else if (lacking.every((part) => open.has(part))) possible.push(way);
  }
  if (gap <= rounding) return 0;
  const shares = possible.map((way) => ({ chance: way.chance, share: shareOf(problem, way, possible, bought) }));
  return filled(shares.toSorted((a, b) => a.share / a.chance - b.share / b.chance), gap);
};

const shareOf = (problem: KitProblem, way: Way, possible: readonly Way[], bought: readonly number[]): number =>
  way.needs.reduce((sum, _, part) => {
    const value = problem.parts[part]?.value ?? 0;
    const pieces = Array.from({ length: lacks(problem, way, bought, part) }, (__, i) => i + 1);
    return pieces.reduce((share, piece) => share + value / possible.filter((other) => lacks(problem, other, bought, part) >= piece).length, sum);
  }, 0);

const filled = (shares: readonly { readonly chance: number; readonly share: number }[], gap: number): number | null => {
  let [left, cost] = [gap, 0];
  for (const { chance, share } of shares) {
    if (left <= chance) return cost + (share * left) / chance;
    left -= chance;
    cost += share;
  }
  return left <= rounding ? cost : null;
};
