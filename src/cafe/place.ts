import type { Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import type { Countries } from './countries.ts';
import { folded } from './fold.ts';
import { regionIn, regionsOf, type RegionNames } from './regions.ts';

/** A time zone, the country where it is known, and the region of it where one was said. */
export type Place = { readonly zone: string; readonly country: string | null; readonly region?: string | undefined };

/** A place in somebody's words; `unknown`: what they may have said for its region, but no region of that country is called so. */
export type Guess = Place & { readonly unknown?: string };

const allPlaces = (countries: Countries): readonly (Place & { readonly towns: readonly string[] })[] =>
  [...countries].flatMap(([country, { zones }]) => Object.entries(zones).map(([zone, towns]) => ({ zone, country, towns })));

const countryIn = (text: string, countries: Countries, locale: string): string | undefined => {
  const names = ['en', locale].map((each) => new Intl.DisplayNames(each, { type: 'region' }));
  return [...countries].find(([code, { also }]) => [...names.map((name) => name.of(code) ?? ''), ...also].some((name) => folded(name) === text))?.[0];
};

const cityOfZone = (zone: string): string => folded(zone.split('/').at(-1) ?? '');

const zoneByName = (text: string): string | undefined => {
  const zones = Intl.supportedValuesOf('timeZone');
  const asked = text.trim().toLowerCase().replace(/\s+/g, '_');
  return zones.find((zone) => zone.toLowerCase() === asked) ?? zones.find((zone) => cityOfZone(zone) === folded(text));
};

const isTown = (text: string, { towns, zone }: { readonly towns: readonly string[]; readonly zone: string }): boolean => [...towns, zone.split('/').at(-1) ?? ''].some((town) => folded(town) === text);

const mainPlace = (country: string, countries: Countries): Place | undefined => {
  const [zone] = Object.keys(countries.get(country)?.zones ?? {});
  return zone === undefined ? undefined : { zone, country };
};

/** The country a zone is listed under; null for one that no country of ours lists. */
const withCountry = (zone: string, countries: Countries): Place => ({ zone, country: allPlaces(countries).find((place) => place.zone === zone)?.country ?? null });

type Found = { readonly place: Place; readonly town: string | null; readonly named: string | undefined };

/** The town and its country: of towns of one name the one whose country, or a region of it, is said beside it. */
const townOrCountry = (parts: readonly string[], countries: Countries, locale: string, names: RegionNames): Found | undefined => {
  const named = parts.find((part) => countryIn(part, countries, locale) !== undefined);
  const country = named === undefined ? undefined : countryIn(named, countries, locale);
  const towns = parts.flatMap((town) => allPlaces(countries).filter((place) => isTown(town, place)).map(({ zone, country: of }) => ({ town, place: { zone, country: of } })));
  const beside = ({ town, place }: (typeof towns)[number]): boolean => parts.some((part) => part !== town && place.country !== null && regionIn(part, place.country, countries, names) !== undefined);
  const town = towns.find(({ place }) => place.country === country) ?? towns.find(beside) ?? (country === undefined ? towns[0] : undefined);
  if (town) return { ...town, named: town.place.country === country ? named : undefined };
  const main = country === undefined ? undefined : mainPlace(country, countries);
  return main && { place: main, town: null, named };
};

/** A region alone tells its place where its country has one time zone only. */
const byRegion = (part: string, countries: Countries, names: RegionNames): Place | undefined => {
  const found = [...countries].flatMap(([country, { zones }]) => {
    const region = Object.keys(zones).length === 1 && part.length > 3 ? regionIn(part, country, countries, names) : undefined;
    const main = region === undefined ? undefined : mainPlace(country, countries);
    return main && region !== undefined ? [{ ...main, region }] : [];
  });
  return found.length === 1 ? found[0] : undefined;
};

/** What stands first is a town that is not known, and a street with its number is no region. */
const mayBeRegion = (part: string): boolean => !/\d/.test(part);

/**
 * Where a town may be: `Valencia`, `Perth, Australia`, `Munich, Bavaria`, `Spain`, `Europe/Madrid`. A guess to be confirmed,
 * since towns of one name are many; undefined when nothing is known of it.
 */
export const guessPlace = (text: string, countries: Countries, locale: string, names: RegionNames): Guess | undefined => {
  const parts = text.split(',').map(folded).filter((part) => part !== '');
  const found = townOrCountry(parts, countries, locale, names);
  if (found) {
    const { place, town, named } = found;
    const rest = parts.filter((part) => part !== town);
    const of = place.country;
    const region = of === null ? undefined : rest.map((part) => regionIn(part, of, countries, names)).find((each) => each !== undefined);
    if (region !== undefined) return { ...place, region };
    const unknown = regionsOf(countries, of).length === 0 ? undefined : rest.find((part) => part !== named && part !== parts[0] && mayBeRegion(part));
    return unknown === undefined ? place : { ...place, unknown: text.split(',').find((part) => folded(part) === unknown)?.trim() ?? unknown };
  }
  const zone = zoneByName(text);
  return zone === undefined ? parts.map((part) => byRegion(part, countries, names)).find((place) => place !== undefined) : withCountry(zone, countries);
};

const AROUND_THE_CLOCK = 1440;
/** How far a clock on the wall may be off. */
const SLACK_MINUTES = 7;

/** Places where the wall clock shows about `minutes` past midnight now, at most `most`, in the order of the countries. */
export const placesByClock = (minutes: number, now: Instant, countries: Countries, most = 5): readonly Place[] =>
  allPlaces(countries)
    .filter(({ zone }) => {
      const apart = Math.abs(dayAt(now, zone).minutes - minutes);
      return Math.min(apart, AROUND_THE_CLOCK - apart) <= SLACK_MINUTES;
    })
    .filter(({ country }, i, all) => all.findIndex((other) => other.country === country) === i)
    .slice(0, most)
    .map(({ zone, country }) => ({ zone, country }));
