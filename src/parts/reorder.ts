/** Chance of needing 0, 1, 2, … pieces; adds up to 1. */
export type Need = readonly number[];

/** One way the world may be for this café: how likely it is, and what each group would need if it were so. */
export type NeedIf = {
  readonly weight: number;
  /** Independent of each other once this point is given: what they share is the point itself. */
  readonly needs: readonly Need[];
};

/** One group that needs one piece or none. */
export const needOfOne = (chance: number): Need => {
  if (!(chance >= 0 && chance <= 1)) throw new RangeError(`not a chance: ${chance}`);
  return [1 - chance, chance];
};

/** Exact distribution of the sum of independent needs. */
export const sumOfNeeds = (needs: readonly Need[]): Need => needs.reduce(convolve, [1]);

const convolve = (left: Need, right: Need): Need => {
  const sum = Array.from({ length: left.length + right.length - 1 }, () => 0);
  left.forEach((l, i) => right.forEach((r, j) => (sum[i + j] = (sum[i + j] ?? 0) + l * r)));
  return sum;
};

/**
 * What one café needs within a time: the groups convolved at each point of its uncertainty, then averaged.
 * Weights need not add up to 1.
 */
export const needOfCafe = (points: readonly NeedIf[]): Need => {
  const total = points.reduce((sum, point) => sum + point.weight, 0);
  if (!(total > 0)) throw new RangeError('no weight on any point');
  const sums = points.map((point) => ({ share: point.weight / total, need: sumOfNeeds(point.needs) }));
  const longest = Math.max(...sums.map(({ need }) => need.length));
  return Array.from({ length: longest }, (_, count) =>
    sums.reduce((chance, { share, need }) => chance + share * (need[count] ?? 0), 0),
  );
};

/** Days over which stock must last without help: from one look at the shelf to the delivery after the next look. */
export const daysToCover = (deliveryDays: number, reviewDays: number): number => deliveryDays + reviewDays;

/** Chance that more is needed than this. */
export const chanceOfRunningOut = (need: Need, stock: number): number =>
  need.reduce((chance, p, count) => (count > stock ? chance + p : chance), 0);

/** Pieces missing on average with this stock. */
export const expectedShort = (need: Need, stock: number): number =>
  need.reduce((sum, p, count) => sum + Math.max(0, count - stock) * p, 0);

const rounding = 1e-12;

/** Smallest stock whose chance of running out is at most `risk`. */
export const reorderPoint = (need: Need, risk: number): number => {
  for (let stock = 0; stock < need.length; stock += 1) {
    if (chanceOfRunningOut(need, stock) <= risk + rounding) return stock;
  }
  return Math.max(0, need.length - 1);
};

/** Cost of a piece that is missing when wanted and of one that lies there unwanted, in the same money. */
export type StockCosts = { readonly missing: number; readonly spare: number };

export const expectedCost = (need: Need, stock: number, costs: StockCosts): number =>
  need.reduce((sum, p, count) => {
    const cost = count > stock ? (count - stock) * costs.missing : (stock - count) * costs.spare;
    return sum + p * cost;
  }, 0);

/** The risk of running out that those costs make worth taking: stock up to it and the expected cost is least. */
export const riskWorthTaking = (costs: StockCosts): number => costs.spare / (costs.missing + costs.spare);

export type OrderAdvice =
  | { readonly kind: 'enough'; readonly spare: number }
  /** Whole packs that bring shelf and order up to the reorder point. */
  | { readonly kind: 'order'; readonly packs: number; readonly pieces: number; readonly runningOut: number };

/** What is on its way counts as there: ordering twice for one gap is the common mistake. */
export const orderAdvice = (
  need: Need,
  risk: number,
  shelf: { readonly onHand: number; readonly onOrder: number },
  piecesInPack = 1,
): OrderAdvice => {
  const position = shelf.onHand + shelf.onOrder;
  const wanted = reorderPoint(need, risk);
  if (position >= wanted) return { kind: 'enough', spare: position - wanted };
  const missing = wanted - position;
  const packs = Math.ceil(missing / piecesInPack);
  return { kind: 'order', packs, pieces: packs * piecesInPack, runningOut: chanceOfRunningOut(need, position) };
};
