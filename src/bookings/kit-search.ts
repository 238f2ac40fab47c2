import { boundOf, compile, equalWeights, rounding, sharpened, type Bound, type Compiled, type Decisions, type KitProblem, type Weights } from './kit-bound.ts';

export type LeastValue = {
  /** Pieces of each part. */
  readonly bought: readonly number[];
  /** False only if the search was cut short; then the kit reaches its targets but a cheaper one may exist. */
  readonly exact: boolean;
};

type Search = { readonly compiled: Compiled; value: number; bought: readonly number[]; steps: number };

/** Steps that a search may take before it is cut short; a day's tour takes some hundreds. */
export const mostSteps = 20_000;

const sharpenings = { first: 60, later: 6 } as const;

/** Pieces of each part to buy, of least value, such that every visit reaches its target: branch and bound. */
export const leastValue = (problem: KitProblem, steps = mostSteps): LeastValue => {
  const compiled = compile(problem);
  const start = greedy(compiled);
  const search: Search = { compiled, value: valueOf(compiled, start), bought: start, steps };
  branch(search, compiled.values.map(() => null), equalWeights(compiled), sharpenings.first);
  return { bought: search.bought, exact: search.steps > 0 };
};

const valueOf = (compiled: Compiled, bought: readonly number[]): number => bought.reduce((sum, count, part) => sum + count * (compiled.values[part] ?? 0), 0);

const branch = (search: Search, decisions: Decisions, weights: Weights, rounds: number): void => {
  search.steps -= 1;
  if (search.steps <= 0) return;
  const spent = valueOf(search.compiled, decisions.map((count) => count ?? 0));
  const best = sharpest(search, decisions, weights, rounds, spent);
  if (best === null) return;
  const part = mostUsed(search.compiled, decisions, best.bound.use);
  if (part === null) {
    // Nothing open is used: what is decided reaches every target.
    search.value = spent;
    search.bought = decisions.map((count) => count ?? 0);
    return;
  }
  for (const count of countsFor(search.compiled, part, best.bound.use)) {
    branch(search, decisions.with(part, count), best.weights, sharpenings.later);
  }
};

type Sharp = { readonly bound: Bound; readonly weights: Weights };

/** The bound after some rounds of moving weight; null as soon as it shows that nothing better lies below. */
const sharpest = (search: Search, decisions: Decisions, weights: Weights, rounds: number, spent: number): Sharp | null => {
  let best: Sharp | null = null;
  let current = weights;
  for (let round = 0; round <= rounds; round += 1) {
    const bound = boundOf(search.compiled, decisions, current);
    if (bound === null || spent + bound.value >= search.value - rounding) return null;
    if (best === null || bound.value > best.bound.value) best = { bound, weights: current };
    current = sharpened(current, bound.use, 1 / (1 + round / 8));
  }
  return best;
};

/** The open part whose pieces carry the most value in the relaxed solution; null if it uses none. */
const mostUsed = (compiled: Compiled, decisions: Decisions, use: Float64Array): number | null => {
  let [most, found]: [number, number | null] = [-1, null];
  compiled.ways.forEach((way, i) => {
    if ((use[i] ?? 0) <= 0) return;
    for (const { part, count } of way.lacks) {
      const weight = count * (compiled.values[part] ?? 0);
      if (decisions[part] === null && weight > most) [most, found] = [weight, part];
    }
  });
  return found;
};

/** None, or just enough for one of the ways: any other number is paid for nothing. The relaxed solution's own first. */
const countsFor = (compiled: Compiled, part: number, use: Float64Array): readonly number[] => {
  const wanted = compiled.ways.map((way) => way.lacks.find((lack) => lack.part === part)?.count ?? 0);
  const liked = Math.max(0, ...wanted.filter((_, i) => (use[i] ?? 0) >= 0.5));
  return [...new Set([0, ...wanted])].toSorted((a, b) => Math.abs(a - liked) - Math.abs(b - liked) || a - b);
};

/** A first kit: the way with the most missing chance for its money, again and again; then whatever is spare goes back. */
const greedy = (compiled: Compiled): readonly number[] => {
  let bought: readonly number[] = compiled.values.map(() => 0);
  while (!reached(compiled, bought)) {
    const next = compiled.ways.filter((way) => isShort(compiled, bought, way.visit) && !isReady(way, bought)).toSorted((a, b) => price(compiled, b, bought) - price(compiled, a, bought))[0];
    if (next === undefined) throw new Error('a target above what every part together reaches');
    bought = next.lacks.reduce((counts, { part, count }) => counts.with(part, Math.max(count, counts[part] ?? 0)), bought);
  }
  return withoutSpare(compiled, bought);
};

type Way = Compiled['ways'][number];

const isReady = (way: Way, bought: readonly number[]): boolean => way.lacks.every(({ part, count }) => (bought[part] ?? 0) >= count);
const isShort = (compiled: Compiled, bought: readonly number[], visit: number): boolean =>
  compiled.ways.reduce((gap, way) => (way.visit === visit && isReady(way, bought) ? gap - way.chance : gap), compiled.targets[visit] ?? 0) > rounding;
const reached = (compiled: Compiled, bought: readonly number[]): boolean => compiled.targets.every((_, visit) => !isShort(compiled, bought, visit));

const price = (compiled: Compiled, way: Way, bought: readonly number[]): number => {
  const cost = way.lacks.reduce((sum, { part, count }) => sum + Math.max(0, count - (bought[part] ?? 0)) * (compiled.values[part] ?? 0), 0);
  return way.chance / Math.max(cost, rounding);
};

const withoutSpare = (compiled: Compiled, bought: readonly number[]): readonly number[] => {
  const dearFirst = bought.map((_, part) => part).toSorted((a, b) => (compiled.values[b] ?? 0) - (compiled.values[a] ?? 0));
  return dearFirst.reduce((counts, part) => {
    let kept = counts;
    while ((kept[part] ?? 0) > 0 && reached(compiled, kept.with(part, (kept[part] ?? 0) - 1))) kept = kept.with(part, (kept[part] ?? 0) - 1);
    return kept;
  }, bought);
};
