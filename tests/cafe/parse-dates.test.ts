import { expect, test } from 'vitest';
import { parseDates } from '../../src/cafe/parse-dates.ts';
import { localDate } from '../../src/time/local-date.ts';

const TODAY = localDate('2027-03-09');
const read = (text: string, locale = 'en'): string | undefined => {
  const range = parseDates(text, TODAY, locale);
  return range && (range.from === range.to ? range.from : `${range.from} ${range.to}`);
};

test.each([
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
])('%s is %s', (text, dates) => {
  expect(read(text)).toBe(dates);
});

test('months in the language of the reader', () => {
  expect(read('24 de diciembre', 'es')).toBe('2027-12-24');
  expect(read('24. Dezember', 'de')).toBe('2027-12-24');
});

test.each(['5/4', '31 feb', '29 feb 2027', '24', 'christmas', '26-24 dec 2027', '1 jan 2027 to 1 jan 2029', '24 dec - 25 dec - 26 dec', '', '32 dec'])('"%s" is not taken for a date', (text) => {
  expect(read(text)).toBeUndefined();
});
