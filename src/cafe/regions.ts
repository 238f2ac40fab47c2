import type { Say } from '../words/catalogue.ts';
import type { Countries } from './countries.ts';
import { folded, nearly } from './fold.ts';

/** What a region is called: first as it is shown, then other names people write. */
export type RegionNames = (country: string, region: string) => readonly string[];

export const regionNames = (say: Say): RegionNames => (country, region) => say(`cafe.region.${country}-${region}`).split('|');

/** Codes of the regions of a country that have public holidays of their own; none where no country is known. */
export const regionsOf = (countries: Countries, country: string | null): readonly string[] => (country === null ? [] : (countries.get(country)?.regions ?? []));

/** `Bavaria`, in the language of `say`. */
export const regionName = (say: Say, country: string | null, region: string): string => (country === null ? region : (regionNames(say)(country, region)[0] ?? region));

const LONG_ENOUGH_TO_MISTYPE = 5;

/** The region of this country that is meant: by a name, its code, or a name with one letter wrong where only one is that near. */
export const regionIn = (text: string, country: string, countries: Countries, names: RegionNames): string | undefined => {
  const asked = folded(text);
  const all = regionsOf(countries, country).map((region) => ({ region, names: [...names(country, region), ...(region.length > 1 ? [region] : [])].map(folded) }));
  const exact = all.find((each) => each.names.includes(asked));
  if (exact) return exact.region;
  const near = asked.length < LONG_ENOUGH_TO_MISTYPE ? [] : all.filter((each) => each.names.some((name) => name.length >= LONG_ENOUGH_TO_MISTYPE && nearly(asked, name)));
  return near.length === 1 ? near[0]?.region : undefined;
};
