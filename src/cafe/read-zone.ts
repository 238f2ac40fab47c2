import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import { countryName } from './countries.ts';
import { folded, isOneOf } from './fold.ts';
import { parseClock } from './parse-clock.ts';
import { pendingPlace } from './pending.ts';
import { guessPlace, placesByClock, type Place } from './place.ts';
import { regionIn, regionNames } from './regions.ts';
import { known, unread, type Asked, type Reading } from './reading.ts';

/** `ES|Europe/Madrid`, `DE|Europe/Berlin|BY`: a place as the value of a fact or a list. */
export const placeValue = ({ zone, country, region }: Place): string => `${country ?? ''}|${zone}${region === undefined ? '' : `|${region}`}`;

export const parsePlace = (value: string): Place => {
  const [country = '', zone = '', region] = value.split('|');
  return { zone, country: country === '' ? null : country, ...(region === undefined ? {} : { region }) };
};

/** `Spain`, or the zone's own name where no country is known. */
export const placeLabel = ({ zone, country }: Place, locale: string): string => (country === null ? zone : countryName(country, locale));

const unknownRegion = (text: string, country: string, locale: string): { readonly name: string; readonly country: string } => ({ name: shortened(text.trim(), 18), country: shortened(country === '' ? '' : countryName(country, locale), 16) });

const byClock = (minutes: number, { now, countries }: Asked): Reading => {
  const places = placesByClock(minutes, now, countries);
  const [only] = places;
  if (only === undefined) return { kind: 'unread', why: 'clock' };
  return { kind: 'check', pending: places.length === 1 ? { kind: 'zone', ...only } : { kind: 'zones', places } };
};

/** A yes or no to the clock shown, one of the places offered, a time of day, or a place in words. */
export const readZone = (text: string, asked: Asked, say: Say): Reading => {
  const { pending, countries, locale } = asked;
  if (pending?.kind === 'zone' && isOneOf(text, say('cafe.words.yes'))) return { kind: 'known', value: placeValue(pending) };
  if (isOneOf(text, say('cafe.words.no'))) return { kind: 'check', pending: pending?.kind === 'zones' ? { kind: 'city' } : null };
  const picked = pending?.kind === 'zones' ? pending.places.find((place) => folded(placeLabel(place, locale)) === folded(text)) : undefined;
  if (picked) return { kind: 'known', value: placeValue(picked) };
  const minutes = parseClock(text);
  if (minutes !== undefined) return byClock(minutes, asked);
  const guess = guessPlace(text, countries, locale, regionNames(say));
  if (!guess) return { kind: 'unread', why: 'place' };
  const { unknown } = guess;
  const check = { kind: 'check', pending: pendingPlace(guess) } as const;
  return unknown === undefined ? check : { ...check, note: { key: 'cafe.problem.region', values: unknownRegion(unknown, guess.country ?? '', locale) } };
};

/** One of the regions of the café's country; one that is none is said back. */
export const readRegion = (text: string, { house, countries, locale }: Asked, say: Say): Reading => {
  const { country } = house.cafe;
  if (country === null) return unread('choice');
  const region = regionIn(text.split(',')[0] ?? '', country, countries, regionNames(say));
  return region === undefined ? unread('region', unknownRegion(text, country, locale)) : known(region);
};
