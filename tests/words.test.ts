import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { parse, TYPE, type MessageFormatElement } from '@formatjs/icu-messageformat-parser';
import { describe, expect, test } from 'vitest';
import { createWords, readTexts } from '../src/words/catalogue.ts';

const texts = readTexts('config/words');
const english = texts.get('en') ?? new Map<string, string>();

const filesBelow = (folder: string): readonly string[] => readdirSync(folder).flatMap((name) => (statSync(join(folder, name)).isDirectory() ? filesBelow(join(folder, name)) : name.endsWith('.ts') ? [join(folder, name)] : []));
const source = filesBelow('src').map((file) => readFileSync(file, 'utf8')).join('\n');

type Argument = { readonly name: string; readonly kind: TYPE };
const argumentsOf = (elements: readonly MessageFormatElement[]): readonly Argument[] =>
  elements.flatMap((element): readonly Argument[] => {
    if (element.type === TYPE.select || element.type === TYPE.plural) return [{ name: element.value, kind: element.type }, ...Object.values(element.options).flatMap((option) => argumentsOf(option.value))];
    if (element.type === TYPE.argument || element.type === TYPE.number || element.type === TYPE.date || element.type === TYPE.time) return [{ name: element.value, kind: element.type }];
    return [];
  });
const namesIn = (text: string): readonly string[] => [...new Set(argumentsOf(parse(text)).map(({ name }) => name))].sort();

describe('texts', () => {
  test('every text is a message of ICU and says what it is given', () => {
    const words = createWords(texts);
    for (const [key, text] of english) {
      const values = Object.fromEntries(argumentsOf(parse(text)).map(({ name, kind }) => [name, kind === TYPE.plural ? 2 : 'x']));
      expect(words.in('en')(key, values).length, key).toBeGreaterThan(0);
    }
  });

  test('every key named in the code is there', () => {
    const named = [...source.matchAll(/(?:say|words\.in\([^()]*(?:\([^()]*\))?[^()]*\))\('([a-z][\w-]*\.[\w.'-]+)'/g)].map((found) => found[1] ?? '');
    expect(named.length).toBeGreaterThan(100);
    expect([...new Set(named)].filter((key) => !english.has(key))).toEqual([]);
  });

  test('no text is left that nothing says', () => {
    const prefixes = new Set([...source.matchAll(/`([a-z][\w-]*(?:\.[\w-]+)*\.)\$\{/g)].map((found) => found[1] ?? ''));
    const unused = [...english.keys()].filter((key) => !source.includes(`'${key}'`) && ![...prefixes].some((prefix) => key.startsWith(prefix)));
    expect(unused).toEqual([]);
  });

  const others = [...texts.keys()].filter((language) => language !== 'en');

  test.each(others)('%s is offered, so it is complete; no key of its own, the same values', (language) => {
    const own = texts.get(language) ?? new Map<string, string>();
    expect([...own.keys()].filter((key) => !english.has(key))).toEqual([]);
    expect([...english.keys()].filter((key) => !own.has(key))).toEqual([]);
    for (const [key, text] of own) expect(namesIn(text), key).toEqual(namesIn(english.get(key) ?? ''));
  });

  test.each(others)('%s: labels fit a button, and what is said in danger keeps its numbers', (language) => {
    const own = texts.get(language) ?? new Map<string, string>();
    const numbers = (text: string): readonly string[] => [...text.replace(/\{[^{}]*\}/g, '').matchAll(/\d+/g)].map(([number]) => number);
    for (const [key, text] of own) {
      const label = key.includes('.button.') && (english.get(key) ?? '').length <= 20 && !text.includes('{');
      if (label) expect(text.length, `${key}: ${text}`).toBeLessThanOrEqual(20);
      if (key.startsWith('danger.') || key.startsWith('cards.danger.') || key.startsWith('cards.cold.')) expect(numbers(text), key).toEqual(numbers(english.get(key) ?? ''));
    }
  });
});
