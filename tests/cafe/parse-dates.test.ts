import { expect, test } from 'vitest';
import { parseDates } from '../../src/cafe/parse-dates.ts';
import { localDate } from '../../src/time/local-date.ts';

const TODAY = localDate('2027-03-09');
const read = (text: string, locale = 'en'): string | undefined => {
  const range = parseDates(text, TODAY, locale);
  return range && (range.from === range.to ? range.from : `${range.from} ${range.to}`);
};

test.each([
  ['august', '2027-08-01 2027-08-31'],
  ['all of August', '2027-08-01 2027-08-31'],
  ['in february', '2028-02-01 2028-02-29'],
  ['march', '2027-03-09 2027-03-31'],
  ['july to august', '2027-07-01 2027-08-31'],
  ['24 dec', '2027-12-24'],
  ['24-26 dec', '2027-12-24 2027-12-26'],
  ['24 - 26 December 2028', '2028-12-24 2028-12-26'],
  ['24 dec to 2 jan', '2027-12-24 2028-01-02'],
  ['Dec 24', '2027-12-24'],
  ['24th of december', '2027-12-24'],
  ['24.12.', '2027-12-24'],
  ['24.12.2029', '2029-12-24'],
  ['24/12', '2027-12-24'],
  ['5.4.', '2027-04-05'],
  ['2027-12-24', '2027-12-24'],
  ['2027-12-24 to 2027-12-26', '2027-12-24 2027-12-26'],
  ['tomorrow', '2027-03-10'],
  ['today', '2027-03-09'],
  ['8 mar', '2028-03-08'],
  ['29 feb', '2028-02-29'],
  ['friday', '2027-03-12'],
  ['Mon', '2027-03-15'],
  ['wed to fri', '2027-03-10 2027-03-12'],
  ['next week', '2027-03-15 2027-03-21'],
  ['this week', '2027-03-09 2027-03-14'],
  ['until monday', '2027-03-09 2027-03-14'],
  ['until 24 dec', '2027-03-09 2027-12-23'],
  ['until tomorrow', '2027-03-09'],
])('%s is %s', (text, dates) => {
  expect(read(text)).toBe(dates);
});

test('days and weeks in the language of the reader', () => {
  expect(read('domani', 'it')).toBe('2027-03-10');
  expect(read('venerdì', 'it')).toBe('2027-03-12');
  expect(read('settimana prossima', 'it')).toBe('2027-03-15 2027-03-21');
  expect(read('fino a lunedì', 'it')).toBe('2027-03-09 2027-03-14');
});

test('months in the language of the reader', () => {
  expect(read('24 de diciembre', 'es')).toBe('2027-12-24');
  expect(read('24. Dezember', 'de')).toBe('2027-12-24');
});

test.each(['5/4', '31 feb', '29 feb 2027', '24', 'christmas', '26-24 dec 2027', '1 jan 2027 to 1 jan 2029', '24 dec - 25 dec - 26 dec', '', '32 dec', 'tuesday', 'next friday', 'until today'])('"%s" is not taken for a date', (text) => {
  expect(read(text)).toBeUndefined();
});
