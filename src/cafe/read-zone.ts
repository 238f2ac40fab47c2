import type { Say } from '../words/catalogue.ts';
import { countryName } from './countries.ts';
import { folded, isOneOf } from './fold.ts';
import { parseClock } from './parse-clock.ts';
import { guessPlace, placesByClock, type Place } from './place.ts';
import type { Asked, Reading } from './reading.ts';

/** `ES|Europe/Madrid`: a place as the value of a fact or a list. */
export const placeValue = ({ zone, country }: Place): string => `${country ?? ''}|${zone}`;

export const parsePlace = (value: string): Place => {
  const [country = '', zone = ''] = value.split('|');
  return { zone, country: country === '' ? null : country };
};

/** `Spain`, or the zone's own name where no country is known. */
export const placeLabel = ({ zone, country }: Place, locale: string): string => (country === null ? zone : countryName(country, locale));

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
  const guess = guessPlace(text, countries, locale);
  return guess ? { kind: 'check', pending: { kind: 'zone', ...guess } } : { kind: 'unread', why: 'place' };
};
