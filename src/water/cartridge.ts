import { days, later, type Instant } from '../time/instant.ts';
import { carbonateHardness, hardness, type Hardness, type HardnessUnit } from './hardness.ts';

/**
 * What stands between the mains and the machine.
 * - `decarbonising`: weak resin, takes carbonate hardness only.
 * - `softening`: strong resin in a cartridge, or a salt softener between two regenerations: takes total hardness.
 * - `by litres`: carbon, or a membrane, rated in litres whatever the hardness.
 */
export type Cartridge =
  | {
      readonly kind: 'decarbonising' | 'softening';
      readonly capacity: Capacity;
      /** Share of the water that passes through the resin, above 0 to 1; the rest goes round it. */
      readonly treatedShare: number;
    }
  | { readonly kind: 'by litres'; readonly litres: number };

/** Milligrams of CaCO3 a resin can take. */
export type Capacity = number & { readonly __mgCaCO3: true };

/** Capacity as labels give it: a hardness times litres ("10,000 litres at 1 German degree"). */
export const capacity = (value: number, unit: HardnessUnit, litres = 1): Capacity =>
  (hardness(value, unit) * litres) as unknown as Capacity;

/** `carbonate` is never above `total`. */
export type TapWater = { readonly total: Hardness; readonly carbonate: Hardness };

export const tapWater = (total: Hardness, alkalinity: Hardness): TapWater => ({
  total,
  carbonate: carbonateHardness(total, alkalinity),
});

/** What this kind takes out of the treated part. */
const removable = (kind: 'decarbonising' | 'softening', water: TapWater): Hardness =>
  kind === 'decarbonising' ? water.carbonate : water.total;

/** Litres through the whole filter, bypass included, until it is spent; infinite if there is nothing to take out. */
export const litresItLasts = (cartridge: Cartridge, water: TapWater): number => {
  if (cartridge.kind === 'by litres') return cartridge.litres;
  if (!(cartridge.treatedShare > 0 && cartridge.treatedShare <= 1)) {
    throw new RangeError(`treated share out of (0, 1]: ${cartridge.treatedShare}`);
  }
  return cartridge.capacity / (removable(cartridge.kind, water) * cartridge.treatedShare);
};

/** Water behind a fresh filter: what the resin takes is taken whole from the treated part. */
export const waterBehind = (cartridge: Cartridge, water: TapWater): TapWater => {
  switch (cartridge.kind) {
    case 'by litres':
      return water;
    case 'decarbonising': {
      const taken = water.carbonate * cartridge.treatedShare;
      return {
        total: (water.total - taken) as Hardness,
        carbonate: (water.carbonate - taken) as Hardness,
      };
    }
    case 'softening':
      // Sodium takes the place of calcium; the carbonate in the water stays as it was.
      return { total: (water.total * (1 - cartridge.treatedShare)) as Hardness, carbonate: water.carbonate };
    default:
      return cartridge satisfies never;
  }
};

/** The strip that can show a spent filter. A carbonate strip is blind behind a softener. */
export const stripFor = (cartridge: Cartridge): 'carbonate' | 'total' | 'none' => {
  switch (cartridge.kind) {
    case 'decarbonising':
      return 'carbonate';
    case 'softening':
      return 'total';
    case 'by litres':
      return 'none';
    default:
      return cartridge satisfies never;
  }
};

export type FilterReading =
  | { readonly kind: 'works' | 'wearing out' | 'spent'; readonly passing: number }
  /** This strip says nothing about this filter, or tap and filtered water are too near to tell apart. */
  | { readonly kind: 'cannot tell' };

/** Assumed (common practice, no source): share of the hardness passing at which a filter counts as worn or spent. */
export const assumedPassing = { wearingOut: 0.25, spent: 0.5 } as const;

/**
 * Reads a strip held behind the filter (cold, first two litres away).
 * `step` is the finest difference the strip can show.
 */
export const readBehindFilter = (
  cartridge: Cartridge,
  tap: TapWater,
  strip: { readonly measures: 'carbonate' | 'total'; readonly value: Hardness; readonly step: Hardness },
  limits: { readonly wearingOut: number; readonly spent: number } = assumedPassing,
): FilterReading => {
  if (strip.measures !== stripFor(cartridge)) return { kind: 'cannot tell' };
  const fresh = waterBehind(cartridge, tap)[strip.measures];
  const removed = tap[strip.measures] - fresh;
  if (removed < 2 * strip.step) return { kind: 'cannot tell' };
  const passing = Math.min(1, Math.max(0, (strip.value - fresh) / removed));
  const beyondOneStep = strip.value - fresh > strip.step;
  if (passing >= limits.spent && beyondOneStep) return { kind: 'spent', passing };
  return { kind: passing >= limits.wearingOut && beyondOneStep ? 'wearing out' : 'works', passing };
};

/** Relative standard deviations of what the forecast rests on. */
export type Spread = {
  readonly capacity: number;
  readonly hardness: number;
  readonly litresCounted: number;
  readonly litresGuessed: number;
};

/** Assumed (common practice, no source): a café's own readings replace them. */
export const assumedSpread: Spread = {
  capacity: 0.1,
  hardness: 0.06,
  litresCounted: 0.02,
  litresGuessed: 0.2,
};

export type Use = {
  readonly fittedAt: Instant;
  readonly litresSoFar: number;
  readonly litresPerDay: number;
  /** True when a meter counted the litres, false when they are reckoned from drinks. */
  readonly counted: boolean;
};

export type CartridgeForecast = {
  /** Litres left as far as is known, and the ends of the middle 80 %; never below 0. */
  readonly litresLeft: { readonly low: number; readonly likely: number; readonly high: number };
  /** When it is spent, or its year is over: early, likely, late. */
  readonly due: { readonly early: Instant; readonly likely: Instant; readonly late: Instant };
  /** What makes it due at the likely time. */
  readonly because: 'litres' | 'age';
};

/** Twelve months at most, however little water went through (common practice, no source). */
export const oldestCartridgeDays = 365;

const tenthOfNormal = 1.2815515655446004;

const relativeSpread = (cartridge: Cartridge, use: Use, spread: Spread): number => {
  const litres = use.counted ? spread.litresCounted : spread.litresGuessed;
  const resin = cartridge.kind === 'by litres' ? 0 : spread.hardness;
  return Math.hypot(spread.capacity, resin, litres);
};

/**
 * The whole life in litres is taken as lognormal round {@link litresItLasts}; an error in counting stretches
 * past and future litres alike, so it belongs to the life and not to the litres left alone.
 */
export const cartridgeForecast = (
  cartridge: Cartridge,
  water: TapWater,
  use: Use,
  now: Instant,
  spread: Spread = assumedSpread,
): CartridgeForecast => {
  if (!(use.litresPerDay >= 0 && use.litresSoFar >= 0)) throw new RangeError('litres below 0');
  const life = litresItLasts(cartridge, water);
  const stretch = Math.exp(tenthOfNormal * relativeSpread(cartridge, use, spread));
  const left = (litres: number): number => Math.max(0, litres - use.litresSoFar);
  const litresLeft = { low: left(life / stretch), likely: left(life), high: left(life * stretch) };
  const tooOld = later(use.fittedAt, days(oldestCartridgeDays));
  const due = (litres: number): Instant => dueWhen(litres, use.litresPerDay, now, tooOld);
  return {
    litresLeft,
    due: { early: due(litresLeft.low), likely: due(litresLeft.likely), late: due(litresLeft.high) },
    because: due(litresLeft.likely) < tooOld ? 'litres' : 'age',
  };
};

const dueWhen = (litresLeft: number, litresPerDay: number, now: Instant, tooOld: Instant): Instant => {
  const daysLeft = litresLeft === 0 ? 0 : litresLeft / litresPerDay;
  // A filter that lasts for ever on paper must not leave the range of the clock.
  if (!(daysLeft * days(1) < tooOld - now)) return tooOld;
  return later(now, days(daysLeft));
};
