import { parse, TYPE, type MessageFormatElement } from '@formatjs/icu-messageformat-parser';
import { printAST } from '@formatjs/icu-messageformat-parser/printer.js';
import { createWords, readTexts, type Words } from '../../src/words/catalogue.ts';

const ACCENTS: Readonly<Record<string, string>> = { a: 'á', e: 'ë', i: 'ï', o: 'ö', u: 'ü', c: 'ç', n: 'ñ', s: 'š', A: 'Å', E: 'É', I: 'Î', O: 'Ø', U: 'Û' };

/** A third longer, with letters no plain text has, between brackets that show where a text begins and ends. */
const stretched = (text: string): string => text.replace(/[A-Za-z]+/g, (word) => `${Array.from(word, (letter) => ACCENTS[letter] ?? letter).join('')}${'~'.repeat(Math.ceil(word.length * 0.35))}`);

const odd = (elements: readonly MessageFormatElement[]): MessageFormatElement[] =>
  elements.map((element): MessageFormatElement => {
    if (element.type === TYPE.literal) return { ...element, value: stretched(element.value) };
    if (element.type === TYPE.select || element.type === TYPE.plural) return { ...element, options: Object.fromEntries(Object.entries(element.options).map(([key, option]) => [key, { ...option, value: odd(option.value) }])) } as MessageFormatElement;
    return element;
  });

/** Keys that are read by the program rather than by people. */
const isData = (key: string): boolean => key.endsWith('.names');

/** Every text of English in a language nobody speaks: what stays plain was not in the catalogue. */
export const pseudoWords = (): Words => {
  const english = readTexts('config/words').get('en') ?? new Map<string, string>();
  const texts = new Map([...english].map(([key, text]) => [key, isData(key) ? text : `⟦${printAST(odd(parse(text)))}⟧`]));
  return createWords(new Map([['en', texts]]));
};
