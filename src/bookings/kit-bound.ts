/** One way to finish a visit: how likely it is the right one, and the pieces of each part it wants. */
export type WayToFinish = { readonly chance: number; readonly needs: readonly number[] };

export type KitProblem = {
  readonly parts: readonly { readonly value: number; readonly inVan: number }[];
  /** Chance to be reached, and the ways that count towards it. */
  readonly visits: readonly { readonly target: number; readonly ways: readonly WayToFinish[] }[];
};

/** Pieces to buy of each part; `null`: not decided yet. */
export type Decisions = readonly (number | null)[];

export type Lack = { readonly part: number; readonly count: number };

/** A way with what the van lacks for it; `pieces` counts single pieces through all parts, as the weights do. */
type CompiledWay = { readonly visit: number; readonly chance: number; readonly lacks: readonly Lack[]; readonly pieces: readonly number[] };

export type Compiled = {
  readonly values: readonly number[];
  readonly targets: readonly number[];
  readonly ways: readonly CompiledWay[];
  readonly pieces: readonly { readonly part: number; readonly value: number }[];
};

export const compile = (problem: KitProblem): Compiled => {
  const lacksOf = (way: WayToFinish): readonly Lack[] =>
    way.needs
      .map((need, part) => ({ part, count: need - (problem.parts[part]?.inVan ?? 0) }))
      .filter(({ count }) => count > 0);
  const ways = problem.visits.flatMap((visit, i) => visit.ways.map((way) => ({ visit: i, chance: way.chance, lacks: lacksOf(way) })));
  const most = problem.parts.map((_, part) => Math.max(0, ...ways.flatMap((way) => way.lacks.filter((lack) => lack.part === part).map((lack) => lack.count))));
  const firstPiece = most.map((_, part) => most.slice(0, part).reduce((sum, count) => sum + count, 0));
  return {
    values: problem.parts.map((part) => part.value),
    targets: problem.visits.map((visit) => visit.target),
    pieces: problem.parts.flatMap(({ value }, part) => Array.from({ length: most[part] ?? 0 }, () => ({ part, value }))),
    ways: ways.map((way) => ({
      ...way,
      pieces: way.lacks.flatMap(({ part, count }) => Array.from({ length: count }, (_, piece) => (firstPiece[part] ?? 0) + piece)),
    })),
  };
};

export const rounding = 1e-9;

/** How much of each piece's value each way has to carry: one row a way, in the order of its pieces. */
export type Weights = readonly Float64Array[];

export const equalWeights = (compiled: Compiled): Weights => compiled.ways.map((way) => new Float64Array(way.pieces.length).fill(1));

export type Bound = {
  /** No kit that keeps the decisions costs less for what is still open. */
  readonly value: number;
  /** How far each way is used in the relaxed solution, 0 to 1. */
  readonly use: Float64Array;
};

type Status = 'ready' | 'open' | 'dead';

const statusOf = (way: CompiledWay, decisions: Decisions): Status => {
  let status: Status = 'ready';
  for (const { part, count } of way.lacks) {
    const decided = decisions[part] ?? null;
    if (decided === null) status = 'open';
    else if (decided < count) return 'dead';
  }
  return status;
};

/**
 * A lower bound on the value still to be bought; null if a target cannot be reached any more. The value of each open
 * piece is shared out among the ways that want it, by weight. Whatever ways a kit serves, it costs at least their
 * shares; so for each visit the gap is filled with the cheapest shares, the last in part, and the visits add up.
 */
export const boundOf = (compiled: Compiled, decisions: Decisions, weights: Weights): Bound | null => {
  const status = compiled.ways.map((way) => statusOf(way, decisions));
  const shares = sharesOf(compiled, decisions, weights, status);
  const use = new Float64Array(compiled.ways.length);
  let value = 0;
  for (let visit = 0; visit < compiled.targets.length; visit += 1) {
    const filled = fill(compiled, visit, status, shares, use);
    if (filled === null) return null;
    value += filled;
  }
  return { value, use };
};

const sharesOf = (compiled: Compiled, decisions: Decisions, weights: Weights, status: readonly Status[]): Float64Array => {
  const sums = new Float64Array(compiled.pieces.length);
  const shares = new Float64Array(compiled.ways.length);
  const eachOpenPiece = (visit: (way: number, piece: number, weight: number) => void): void =>
    compiled.ways.forEach((way, i) => {
      if (status[i] !== 'open') return;
      way.pieces.forEach((piece, k) => {
        if (decisions[compiled.pieces[piece]?.part ?? -1] === null) visit(i, piece, weights[i]?.[k] ?? 0);
      });
    });
  eachOpenPiece((_, piece, weight) => (sums[piece] = (sums[piece] ?? 0) + weight));
  eachOpenPiece((way, piece, weight) => {
    shares[way] = (shares[way] ?? 0) + ((compiled.pieces[piece]?.value ?? 0) * weight) / (sums[piece] || 1);
  });
  return shares;
};

const fill = (compiled: Compiled, visit: number, status: readonly Status[], shares: Float64Array, use: Float64Array): number | null => {
  let gap = compiled.targets[visit] ?? 0;
  const open: number[] = [];
  compiled.ways.forEach((way, i) => {
    if (way.visit !== visit) return;
    if (status[i] === 'ready') gap -= way.chance;
    else if (status[i] === 'open') open.push(i);
  });
  let value = 0;
  const dearness = (way: number): number => (shares[way] ?? 0) / (compiled.ways[way]?.chance ?? 1);
  for (const way of open.toSorted((a, b) => dearness(a) - dearness(b))) {
    if (gap <= rounding) break;
    const chance = compiled.ways[way]?.chance ?? 0;
    use[way] = Math.min(1, gap / chance);
    value += (use[way] ?? 0) * (shares[way] ?? 0);
    gap -= chance;
  }
  return gap <= rounding ? value : null;
};

/** Ways that the relaxed solution uses carry more of what they share with others: this raises the bound. */
export const sharpened = (weights: Weights, use: Float64Array, step: number): Weights =>
  weights.map((row, way) => {
    const factor = Math.exp(step * (use[way] ?? 0));
    return factor === 1 ? row : row.map((weight) => Math.min(1e12, weight * factor));
  });
