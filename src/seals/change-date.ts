/** Chance of still being sound, by age or by days from now; 1 at 0 and never rising. */
export type Survival = (days: number) => number;

export type Costs = {
  /** A change on a day of the café's choosing, and one forced by a failure in service, in the same unit. */
  readonly planned: number;
  readonly failed: number;
};

export type Interval = { readonly everyDays: number; readonly costPerDay: number };

const STEPS = 800;

/**
 * The age at which changing costs least per day: `min over T of [planned S + failed (1 - S)] / integral of S`.
 * Every age up to `longestDays` is tried, so that several valleys do no harm.
 */
export const cheapestInterval = (survival: Survival, costs: Costs, longestDays: number): Interval => {
  const step = longestDays / STEPS;
  let best: Interval = { everyDays: longestDays, costPerDay: Number.POSITIVE_INFINITY };
  let lived = 0;
  let before = 1;
  for (let i = 1; i <= STEPS; i++) {
    const days = i * step;
    const now = survival(days);
    // Simpson's rule on each step: the curve bends within it.
    lived += (step * (before + 4 * survival(days - step / 2) + now)) / 6;
    before = now;
    const costPerDay = (costs.planned * now + costs.failed * (1 - now)) / lived;
    if (costPerDay < best.costPerDay) best = { everyDays: days, costPerDay };
  }
  return best;
};

export type ChangeDate = {
  /** Days from now; 0 means today. */
  readonly inDays: number;
  /** Whether waiting longer would cost more, or the trade's longest time without a passed look ends it. */
  readonly why: 'cheapest' | 'longest-time';
  readonly failsBefore: number;
};

/**
 * When to change the ring in service: the day that minimises its expected cost when every later day
 * is worth `costPerDay`, the price of the cheapest interval for the rings after it. Never later than `latestInDays`.
 */
export const changeDate = (
  staysSound: Survival,
  costs: Costs,
  costPerDay: number,
  latestInDays: number,
  horizonDays: number,
): ChangeDate => {
  const step = 1;
  let best = { inDays: 0, cost: costs.planned };
  let lived = 0;
  let before = 1;
  for (let days = step; days <= horizonDays; days += step) {
    const now = staysSound(days);
    lived += (step * (before + now)) / 2;
    before = now;
    const cost = costs.planned * now + costs.failed * (1 - now) - costPerDay * lived;
    if (cost < best.cost) best = { inDays: days, cost };
  }
  const latest = Math.max(0, Math.floor(latestInDays));
  const inDays = Math.min(best.inDays, latest);
  return { inDays, why: best.inDays <= latest ? 'cheapest' : 'longest-time', failsBefore: 1 - staysSound(inDays) };
};
