import { expect, test } from 'vitest';
import { parseCountries, readCountries } from '../../src/cafe/countries.ts';
import { guessPlace, placesByClock } from '../../src/cafe/place.ts';
import { regionNames } from '../../src/cafe/regions.ts';
import { instant } from '../../src/time/instant.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const countries = readCountries('config/countries.yaml');
const words = createWords(readTexts('config/words'));
const guess = (text: string, locale = 'en') => guessPlace(text, countries, locale, regionNames(words.in(locale)));
const canonical = (zone: string): string => new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone;

test('every zone belongs to its country, by the region data of Unicode CLDR', () => {
  const wrong = [...countries].flatMap(([code, { zones }]) => {
    // Node 20 has the zones of a region as a property that the type library does not know yet.
    const known = (new Intl.Locale(`und-${code}`) as unknown as { timeZones: string[] }).timeZones.map(canonical);
    return Object.keys(zones).filter((zone) => !known.includes(canonical(zone))).map((zone) => `${code} ${zone}`);
  });
  expect(wrong).toEqual([]);
});

test('112 is offered first in every state of the European Union (Directive (EU) 2018/1972, article 109)', () => {
  const union = 'AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE'.split(' ');
  expect(union.filter((code) => countries.get(code)?.emergency[0] !== '112' || countries.get(code)?.source !== 'eu')).toEqual([]);
});

test('every currency is one of ISO 4217 as Unicode CLDR has it', () => {
  const known = new Set(Intl.supportedValuesOf('currency'));
  expect([...countries].filter(([, { currency }]) => !known.has(currency))).toEqual([]);
});

test.each([
  ['Valencia', 'Europe/Madrid', 'ES'],
  ['valencia, spain', 'Europe/Madrid', 'ES'],
  ['Valencia, Venezuela', 'America/Caracas', 'VE'],
  ['Las Palmas', 'Atlantic/Canary', 'ES'],
  ['Perth, Australia', 'Australia/Perth', 'AU'],
  ['sao paulo', 'America/Sao_Paulo', 'BR'],
  ['Łódź', 'Europe/Warsaw', 'PL'],
  ['UK', 'Europe/London', 'GB'],
  ['Europe/Madrid', 'Europe/Madrid', 'ES'],
  ['Ulaanbaatar', 'Asia/Ulaanbaatar', null],
])('%s is taken to be in %s', (text, zone, country) => {
  expect(guess(text)).toEqual({ zone, country });
});

test.each([
  ['Munich, Bavaria', 'en', 'Europe/Berlin', 'DE', 'BY'],
  ['Germany, bayern', 'en', 'Europe/Berlin', 'DE', 'BY'],
  ['Monaco di Baviera, Germania, Baviera', 'it', 'Europe/Berlin', 'DE', 'BY'],
  ['Assia', 'it', 'Europe/Berlin', 'DE', 'HE'],
  ['north rhine westfalia, germany', 'en', 'Europe/Berlin', 'DE', undefined],
  ['North Rhine-Wesphalia, Germany', 'en', 'Europe/Berlin', 'DE', 'NW'],
  ['Little Snoring, England', 'en', 'Europe/London', 'GB', 'ENG'],
  ['Edinburgh, Scotland', 'en', 'Europe/London', 'GB', 'SCT'],
  ['Perth, Western Australia', 'en', 'Australia/Perth', 'AU', 'WA'],
  ['Atlanta, Georgia', 'en', 'America/New_York', 'US', 'GA'],
  ['Lugano, Ticino', 'it', 'Europe/Zurich', 'CH', 'TI'],
  ['Bolzano, Italia, Alto Adige', 'it', 'Europe/Rome', 'IT', '32'],
])('%s (%s) is in %s, %s, region %s', (text, locale, zone, country, region) => {
  expect(guess(text, locale)).toMatchObject({ zone, country, ...(region === undefined ? {} : { region }) });
  expect(guess(text, locale)?.region).toBe(region);
});

test('what may have been a region is said back where the country has regions; a village, a street or a country is none', () => {
  expect(guess('Munich, Narnia')).toEqual({ zone: 'Europe/Berlin', country: 'DE', unknown: 'Narnia' });
  for (const text of ['Little Snoring, UK', 'Munich, Germany', 'Munich, 12 Long Street', 'Lyon, Somewhere']) expect(guess(text)?.unknown, text).toBe(text.startsWith('Lyon') ? 'Somewhere' : undefined);
  expect(guess('Vienna, Tyrolia')).toEqual({ zone: 'Europe/Vienna', country: 'AT' });
});

test('a town nobody knows is not guessed at', () => {
  expect(guess('Nowhere upon Tyne')).toBeUndefined();
  expect(guess('')).toBeUndefined();
  expect(guess(', ,')).toBeUndefined();
});

test('the clock on the wall tells at most five places, also round midnight', () => {
  const now = instant(Date.parse('2027-03-09T13:02:00Z'));
  expect(placesByClock(14 * 60 + 2, now, countries).map(({ country }) => country)).toEqual(['ES', 'DE', 'AT', 'CH', 'IT']);
  expect(placesByClock(18 * 60 + 32, now, countries)).toEqual([{ zone: 'Asia/Kolkata', country: 'IN' }]);
  expect(placesByClock(1438, instant(Date.parse('2027-03-09T23:03:00Z')), countries).map(({ country }) => country)).toContain('ES');
  expect(placesByClock(3 * 60 + 20, now, countries)).toEqual([]);
});

test('a country without a number, or with a zone that is none, is refused with its place', () => {
  expect(() => parseCountries('countries: { XX: { emergency: [], source: eu, currency: EUR, zones: { Europe/Nowhere: [] } } }', 'countries.yaml')).toThrow(/countries.yaml needs a change[^]*XX/);
});
