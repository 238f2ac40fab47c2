import { expect, test } from 'vitest';
import { shortOf } from '../../src/routine/job-name.ts';
import { reckonedText } from '../../src/routine/often.ts';
import { figure } from '../../src/words/format.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const words = createWords(readTexts('config/words'));
const every = (locale: string, count: number, of: string, yearly = false): string => reckonedText(words.in(locale), locale, { kind: 'use', every: count, of, yearly });

// Signs of the Unicode CLDR: a comma in English, a full stop in Italian; already at four digits, so that one list looks alike.
test('thousands are grouped as the language of the reader does', () => {
  expect([every('en', 20_000, 'coffees', true), every('it', 20_000, 'coffees', true)]).toEqual(['every 20,000 coffees, once a year at least', "ogni 20.000 caff\u00e8, almeno una volta l'anno"]);
  expect([every('en', 5000, 'litres'), every('it', 5000, 'litres'), every('en', 500, 'kg')]).toEqual(['every 5,000 litres', 'ogni 5.000 litri', 'every 500 kg']);
  expect([figure(1_000_000, 'en'), figure(48_210, 'it'), figure(0.5, 'it')]).toEqual(['1,000,000', '48.210', '0,5']);
});

test('a job names its group, and its machine where a café has several', () => {
  const job = { job: 'seal-change', group_number: 2, machine: 'b' };
  const two = new Map([['a', 1], ['b', 2]]);
  expect([shortOf(words.in('en'), job, new Map()), shortOf(words.in('en'), job, two), shortOf(words.in('it'), job, two)]).toEqual(['new seal, group 2', 'new seal, group 2 M2', 'guarnizione nuova, gruppo 2 M2']);
});
