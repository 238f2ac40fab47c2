import { describe, expect, test } from 'vitest';
import { partIn, partNames } from '../../src/bookings/part-words.ts';
import { partText } from '../../src/bookings/views-what.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const words = createWords(readTexts('config/words'));
const english = partNames(words.in('en'), ['seal', 'shim', 'screen']);
const italian = partNames(words.in('it'), ['seal', 'shim', 'screen']);

describe('shims by their height', () => {
  test.each([
    ['2 shims 0.5', 'shim-0.5', 2], ['shim 0.5', 'shim-0.5', 1], ['3 shims 1 mm', 'shim-1', 3], ['0,5 mm shims: 2', 'shim-0.5', 2], ['2 paper shims of 0.5 mm', 'shim-0.5', 2], ['2 x 0.5 mm shim', 'shim-0.5', 2], ['4 shims 1', 'shim-1', 4],
    ['2 shims', 'shim', 2], ['a shim'.slice(2), 'shim', 1],
  ])('%s', (text, part, count) => expect(partIn(text, english)).toEqual({ part, count }));

  test.each([['2 spessori 0,5', 2], ['spessore di carta 0.5', 1]])('%s', (text, count) => expect(partIn(text, italian)).toEqual({ part: 'shim-0.5', count }));

  test.each(['2 shims 12', 'shims for the left group', '1 2 3 shims'])('%s is not taken for one', (text) => expect(partIn(text, english)).toBeUndefined());

  test('a seal is still a seal, and a shim is named with its height', () => {
    expect(partIn('2 seals 8', english)).toEqual({ part: 'seal-8', count: 2 });
    expect([1, 2].map((count) => partText({ say: words.in('en') }, { part: 'shim-0.5', count }))).toEqual(['0.5 mm shim', '2 shims of 0.5 mm']);
  });
});
