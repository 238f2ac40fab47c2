import { describe, expect, test } from 'vitest';
import { readParts } from '../../src/bookings/bring.ts';
import { fittedIn } from '../../src/bookings/fitted-words.ts';
import { partNamesIn } from '../../src/bookings/part-words.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const names = partNamesIn(createWords(readTexts('config/words')), Object.keys(readParts('config/parts.yaml').values));
const read = (text: string, locale = 'en') => fittedIn(text, names(locale)).map(({ part, count, group, how }) => [part, count, group, ...(how ? [how.sideUp, how.shimMm, how.material] : [])]);

describe('what was fitted, as a technician types it', () => {
  test.each([
    ['seal 8.5, numbers up, shim 0.5', [['seal-8.5', 1, null, 'up', 0.5, null]]],
    ['8 mm seal with a 0.5 mm paper shim, marked side down', [['seal-8', 1, null, 'down', 0.5, null]]],
    ['seal 8 shim 0,5 up', [['seal-8', 1, null, 'up', 0.5, null]]],
    ['silicone seal 8, no shim; 2 screens', [['seal-8', 1, null, null, 0, 'silicone'], ['screen', 2, null]]],
    ['seal 8 group 1 up, seal 8.5 in group 2 down', [['seal-8', 1, 1, 'up', null, null], ['seal-8.5', 1, 2, 'down', null, null]]],
    ['screen group 2 and a coil', [['screen', 1, 2], ['a coil', 1, null]]],
    ['coil', [['coil', 1, null]]],
    // Without a seal before it nothing is known to sit so; and 8.5 mm are no group.
    ['numbers up', [['numbers up', 1, null]]],
    ['seal 8, 1 shim', [['seal-8', 1, null], ['shim', 1, null]]],
    ['seal 8 with a 1 mm shim', [['seal-8', 1, null, null, 1, null]]],
    ['shim 0.5', [['shim-0.5', 1, null]]],
    ['group 8.5 mm seal', [['group 8.5 mm seal', 1, null]]],
  ])('%s', (text, meant) => expect(read(text)).toEqual(meant));

  test.each([
    ['guarnizione 8,5 numeri su, spessore 0,5', [['seal-8.5', 1, null, 'up', 0.5, null]]],
    ['guarnizione 8 in silicone senza spessore, gruppo 2', [['seal-8', 1, 2, null, 0, 'silicone']]],
  ])('%s', (text, meant) => expect(read(text, 'it')).toEqual(meant));
});
