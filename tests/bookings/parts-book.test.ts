import { describe, expect, test } from 'vitest';
import { bringFor, kitForDay, outcomesFor, readParts, sizesToBring } from '../../src/bookings/bring.ts';
import { partIn, partNames, partsIn } from '../../src/bookings/part-words.ts';
import { stockIn } from '../../src/bookings/stock-words.ts';
import { readCatalogue } from '../../src/faults/catalogue-read.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const book = readParts('config/parts.yaml');
const words = createWords(readTexts('config/words'));
const say = words.in('en');
const names = partNames(say, Object.keys(book.values));
const catalogue = readCatalogue('config/faults');

describe('which parts end what', () => {
  test('every cause that somebody with tools mends names its parts, or says that none is needed or none helps', () => {
    const mended = catalogue.causes.filter(({ fixer }) => fixer !== 'nobody' && fixer !== 'other-trade').map(({ id }) => id);
    expect(mended.length).toBeGreaterThan(150);
    expect(mended.filter((cause) => book.parts[cause] === undefined)).toEqual([]);
    expect(Object.keys(book.parts).filter((cause) => !mended.includes(cause))).toEqual([]);
  });

  test('every part has a value and a name, and every name one part', () => {
    const named = Object.values(book.parts).flatMap((parts) => (Array.isArray(parts) ? parts : []));
    for (const part of [...named, ...Object.keys(book.values)]) {
      expect(book.values[part], part).toBeGreaterThan(0);
      expect(words.has(`booking.part.${part}`), part).toBe(true);
    }
    expect(new Set(names.byName.values()).size).toBe(Object.keys(book.values).length - 1);
  });

  test('sizes of seals nobody recorded are shared out in full', () => {
    const sizes = sizesToBring(book, [], null);
    expect(sizes.reduce((sum, { chance }) => sum + chance, 0)).toBeCloseTo(1, 9);
    expect(sizesToBring(book, [], 8)).toEqual([{ sizeMm: 8, chance: 1 }]);
  });

  test('a worn seal of uncertain size: the day asks for as many sizes as its level wants, and no more', () => {
    const sizes = [{ sizeMm: 8, chance: 0.6 }, { sizeMm: 8.5, chance: 0.35 }, { sizeMm: 9, chance: 0.05 }];
    const likely = [{ cause: 'seal-worn', chance: 0.9, worked: null }];
    const outcomes = outcomesFor(book, likely, sizes);
    expect(outcomes.map(({ chance }) => Number(chance.toFixed(3)))).toEqual([0.54, 0.315, 0.045]);
    const kit = kitForDay(book, [{ id: 'a', outcomes }], new Map());
    expect(kit.bring).toEqual([{ part: 'seal-8', count: 1 }, { part: 'seal-8.5', count: 1 }]);
    expect(kitForDay(book, [{ id: 'a', outcomes }], new Map([['seal-8', 2]])).bring).toEqual([{ part: 'seal-8.5', count: 1 }]);
    expect(bringFor(book, likely, sizes).map(({ part }) => part)).toEqual(['seal-8', 'seal-8.5']);
  });

  test('what needs a workshop is finished by no kit; what needs no part by every kit', () => {
    expect(outcomesFor(book, [{ cause: 'boiler-scaled', chance: 0.5, worked: null }], [])).toEqual([{ chance: 0.5, needs: null }]);
    expect(outcomesFor(book, [{ cause: 'water-too-pure', chance: 0.5, worked: null }], [])).toEqual([{ chance: 0.5, needs: [] }]);
  });
});

describe('parts as people write them', () => {
  test.each([
    ['2 seals 8.5', 'seal-8.5', 2], ['seals 8.5 x2', 'seal-8.5', 2], ['8.5 mm seals: 2', 'seal-8.5', 2], ['2 x 8,5mm gaskets', 'seal-8.5', 2], ['seal 8', 'seal-8', 1], ['2 seals 8', 'seal-8', 2], ['3 screens', 'screen', 3],
    ['screens: 3', 'screen', 3], ['a', undefined, 0], ['Valve Kit', 'valve-kit', 1], ['2 valve kits', 'valve-kit', 2], ['seals', undefined, 0], ['2 seals', undefined, 0], ['seal 8 flat side up', undefined, 0], ['0 pumps', 'pump', 0],
  ] as const)('%s', (text, part, count) => {
    expect(partIn(text, names)).toEqual(part === undefined ? undefined : { part, count });
  });

  test('a list keeps what it cannot read, and adds up what is named twice', () => {
    expect(partsIn('2 seals 8.5, 3 screens and 1 screen; flux capacitor', names)).toEqual({ parts: [{ part: 'seal-8.5', count: 2 }, { part: 'screen', count: 4 }], unread: ['flux capacitor'] });
  });

  test('van and stock are heard only as such', () => {
    expect(stockIn('van: 2 seals 8.5, 3 screens', say)).toEqual({ of: 'van', kind: 'counted', rest: '2 seals 8.5, 3 screens' });
    expect(stockIn('my van has 2 pumps', say)).toEqual({ of: 'van', kind: 'counted', rest: '2 pumps' });
    expect(stockIn('van + 2 pumps', say)).toEqual({ of: 'van', kind: 'in', rest: '2 pumps' });
    expect(stockIn('stock: took out 1 screen', say)).toEqual({ of: 'shelf', kind: 'out', rest: '1 screen' });
    expect(stockIn('van', say)?.kind).toBe('show');
    expect(stockIn('van leaks oil in the yard', say)).toBeUndefined();
    expect(stockIn('stock of milk is low', say)).toBeUndefined();
  });
});
