/**
 * Hardness of water as milligrams of calcium carbonate in a litre, whatever unit it was written in.
 * Total and carbonate hardness (alkalinity) use the same scale.
 */
export type Hardness = number & { readonly __mgPerLitreAsCaCO3: true };

export type HardnessUnit =
  | 'mg/L'
  | 'ppm'
  | 'mmol/L'
  | 'meq/L'
  | 'german'
  | 'french'
  | 'english'
  | 'grains/US gal';

const molarMassCaCO3 = 100.0869;
const molarMassCaO = 56.0774;
const grainMg = 64.79891;
const usGallonLitres = 3.785411784;
const imperialGallonLitres = 4.54609;

/**
 * Milligrams a litre in one unit, from the units' definitions: 1 German degree is 10 mg CaO a litre,
 * 1 French degree 10 mg CaCO3 a litre, 1 English degree one grain CaCO3 an imperial gallon.
 */
const mgPerLitre: Readonly<Record<HardnessUnit, number>> = {
  'mg/L': 1,
  ppm: 1,
  'mmol/L': molarMassCaCO3,
  'meq/L': molarMassCaCO3 / 2,
  german: (10 * molarMassCaCO3) / molarMassCaO,
  french: 10,
  english: grainMg / imperialGallonLitres,
  'grains/US gal': grainMg / usGallonLitres,
};

export const hardness = (value: number, unit: HardnessUnit): Hardness => {
  if (!Number.isFinite(value) || value < 0) throw new RangeError(`not a hardness: ${value}`);
  return (value * mgPerLitre[unit]) as Hardness;
};

export const inUnit = (water: Hardness, unit: HardnessUnit): number => water / mgPerLitre[unit];

/** The share of the total hardness that heating can bring down as scale: no more than the alkalinity. */
export const carbonateHardness = (total: Hardness, alkalinity: Hardness): Hardness =>
  Math.min(total, alkalinity) as Hardness;

export type HardnessClass = 'soft' | 'moderately hard' | 'hard' | 'very hard';

/** United States Geological Survey classes: to 60, to 120, to 180 mg/L, above. */
export const hardnessClass = (water: Hardness): HardnessClass => {
  if (water <= 60) return 'soft';
  if (water <= 120) return 'moderately hard';
  return water <= 180 ? 'hard' : 'very hard';
};
