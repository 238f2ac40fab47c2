import type { Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import type { Countries } from './countries.ts';
import { folded } from './fold.ts';

/** A time zone, and the country where it is known. */
export type Place = { readonly zone: string; readonly country: string | null };

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

const townIn = (text: string, countries: Countries, country?: string): Place | undefined => {
  const found = allPlaces(countries).find((place) => (country === undefined || place.country === country) && [...place.towns, place.zone.split('/').at(-1) ?? ''].some((town) => folded(town) === text));
  return found && { zone: found.zone, country: found.country };
};

const mainPlace = (country: string, countries: Countries): Place | undefined => {
  const [zone] = Object.keys(countries.get(country)?.zones ?? {});
  return zone === undefined ? undefined : { zone, country };
};

/** The country a zone is listed under; null for one that no country of ours lists. */
const withCountry = (zone: string, countries: Countries): Place => ({ zone, country: allPlaces(countries).find((place) => place.zone === zone)?.country ?? null });

/**
 * Where a town may be: `Valencia`, `Perth, Australia`, `Spain`, `Europe/Madrid`. A guess to be confirmed, since towns
 * of one name are many; undefined when nothing is known of it.
 */
export const guessPlace = (text: string, countries: Countries, locale = 'en'): Place | undefined => {
  const parts = text.split(',').map(folded).filter((part) => part !== '');
  const country = parts.map((part) => countryIn(part, countries, locale)).find((code) => code !== undefined);
  const town = parts.map((part) => townIn(part, countries, country)).find((place) => place !== undefined);
  if (town) return town;
  if (country !== undefined) return mainPlace(country, countries);
  const zone = zoneByName(text);
  return zone === undefined ? undefined : withCountry(zone, countries);
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
