import type { SealConstants } from './constants.ts';
import { normalised, product } from './grid.ts';
import { ageReachedBy, lifeCurve, survivalAt, type LifeCurve } from './life-curve.ts';
import { blurredRows, lifeGrid, likelihoodOn, meanUpTo, sumOn, type LifeGrid } from './life-grid.ts';
import { normalKernel } from './normal.ts';
import { ringEvidence, type RingEvidence, type RingRecord } from './ring-evidence.ts';

/** What is believed of lives before a café has any history: assumed, or learned from many cafés. */
export type LifePrior = {
  /** Log of the median in paced days. */
  readonly centre: number;
  readonly cafeSpread: number;
  readonly groupSpread: number;
  /** One for each shape of the constants; they add up to 1. */
  readonly shapeWeights: readonly number[];
};

export type GroupRecord = {
  readonly finished: readonly RingRecord[];
  readonly current?: RingRecord;
  /** Pace at which the next ring will age. */
  readonly pace: number;
};

export type InService = {
  /** Survival of this ring by age, without what its own age already tells. */
  readonly curve: LifeCurve;
  /** Age now in days: one, or several alike if nobody knows. */
  readonly agesDays: readonly number[];
  /** Chance that it has failed already and nobody has seen it. */
  readonly wornAlready: number;
};

export type LifeForecast = { readonly newRing: LifeCurve; readonly inService?: InService };

export const assumedPrior = (life: SealConstants['life']): LifePrior => ({
  centre: Math.log(life.medianDays),
  cafeSpread: life.cafeSpread,
  groupSpread: life.groupSpread,
  shapeWeights: life.shapeWeights,
});

export type GroupLikelihood = { readonly finished: Float64Array; readonly all: Float64Array };

export const groupLikelihood = (grid: LifeGrid, finished: readonly RingEvidence[], current?: RingEvidence): GroupLikelihood => {
  const done = product(finished.map((ring) => likelihoodOn(grid, ring)), grid.rates.length);
  return { finished: done, all: current === undefined ? done : product([done, likelihoodOn(grid, current)], grid.rates.length) };
};

/** Chances of each shape and café-wide median before any history. */
export const cafePrior = (grid: LifeGrid, prior: LifePrior): Float64Array => {
  const out = new Float64Array(grid.rates.length);
  const width = grid.logMedians.length;
  prior.shapeWeights.forEach((weight, b) => {
    grid.logMedians.forEach((x, i) => {
      out[b * width + i] = weight * Math.exp(-(((x - prior.centre) / prior.cafeSpread) ** 2) / 2);
    });
  });
  return out;
};

/** For each group, what the café and its other groups say of it: its own rings are left out. */
export const fromTheOthers = (grid: LifeGrid, prior: LifePrior, groups: readonly GroupLikelihood[]): readonly Float64Array[] => {
  const kernel = normalKernel(prior.groupSpread / grid.step);
  const cafe = cafePrior(grid, prior);
  const messages = groups.map((group) => blurredRows(grid, group.all, kernel));
  return groups.map((_, g) => {
    const others = messages.filter((_message, h) => h !== g);
    return blurredRows(grid, product([cafe, ...others], cafe.length), kernel);
  });
};

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
};

const inService = (grid: LifeGrid, before: Float64Array, ring: RingEvidence, pace: number): InService => {
  const span = ring.met === undefined ? undefined : meanUpTo(grid, ring.met.longestAge);
  const weights = span === undefined ? before : before.map((weight, i) => weight / (span[i] as number));
  const sound = dot(weights, sumOn(grid, ring.stillSound));
  const all = dot(weights, sumOn(grid, ring.likelihood));
  return {
    curve: lifeCurve(grid, weights, pace),
    agesDays: ring.agesNow.map((age) => age / pace),
    wornAlready: Math.min(1, Math.max(0, 1 - sound / all)),
  };
};

/** Forecasts for every group of one café, each learning from its own rings and from its neighbours'. */
export const forecastLives = (groups: readonly GroupRecord[], prior: LifePrior, constants: SealConstants): readonly LifeForecast[] => {
  const grid = lifeGrid(constants.life, prior.centre);
  const evidence = groups.map((group) => ({
    finished: group.finished.map((ring) => ringEvidence(ring, constants)),
    current: group.current === undefined ? undefined : ringEvidence(group.current, constants),
  }));
  const likelihoods = evidence.map(({ finished, current }) => groupLikelihood(grid, finished, current));
  const others = fromTheOthers(grid, prior, likelihoods);
  return groups.map((group, g) => {
    const fromCafe = others[g] as Float64Array;
    const { finished, all } = likelihoods[g] as GroupLikelihood;
    const now = normalised(product([fromCafe, all], all.length));
    const newRing = lifeCurve(grid, now, group.pace);
    const current = evidence[g]?.current;
    if (group.current === undefined || current === undefined) return { newRing };
    const before = normalised(product([fromCafe, finished], finished.length));
    return { newRing, inService: inService(grid, before, current, group.current.pace) };
  });
};

/** Chance that a ring in service, sound now, is still sound after this many days. */
export const staysSound = (ring: InService, days: number): number => {
  const now = ring.agesDays.reduce((sum, age) => sum + survivalAt(ring.curve, age), 0);
  const then = ring.agesDays.reduce((sum, age) => sum + survivalAt(ring.curve, age + days), 0);
  return now > 0 ? then / now : 0;
};

/** Chance that a ring in service has failed by this many days from now, already failed included. */
export const failedWithin = (ring: InService, days: number): number => 1 - (1 - ring.wornAlready) * staysSound(ring, days);

export type DaysRange = { readonly lowDays: number; readonly medianDays: number; readonly highDays: number };

/** 80 % range and median of the days left to a ring in service that is sound now. */
export const daysLeft = (ring: InService): DaysRange => {
  const at = (share: number): number => ageReachedBy((days) => staysSound(ring, days), share);
  return { lowDays: at(0.9), medianDays: at(0.5), highDays: at(0.1) };
};

/** 80 % range and median of the life of the next ring. */
export const nextLife = (newRing: LifeCurve): DaysRange => {
  const at = (share: number): number => ageReachedBy((days) => survivalAt(newRing, days), share);
  return { lowDays: at(0.9), medianDays: at(0.5), highDays: at(0.1) };
};
