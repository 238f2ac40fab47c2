import type { Counter } from './use.ts';

/** What people call a counter, by what it counts; in lower case. */
export type CounterWords = Readonly<Record<Counter, readonly string[]>>;

const UNITS: Readonly<Record<string, Counter>> = { kg: 'kg', kilo: 'kg', kilos: 'kg', l: 'litres', litres: 'litres', litre: 'litres', liters: 'litres', litri: 'litres' };

/** `48210`, `48,210`, `48.210`, `1 200`, `1200.5`. Undefined when it is no number. */
export const readNumber = (text: string): number | undefined => {
  const plain = text.trim();
  if (/^\d{1,3}(?:([.,' \u00a0])\d{3})(?:\1\d{3})*$/u.test(plain)) return Number(plain.replace(/[^\d]/gu, ''));
  return /^\d+(?:[.,]\d{1,2})?$/u.test(plain) ? Number(plain.replace(',', '.')) : undefined;
};

/** What stands around the name of a counter, in English and Italian: "the counter is at", "il contatore segna". */
const BEFORE = /^(?:the|our|il|lo|la|del|adesso)\s+/u;
const SAYS = /(?:\s+(?:is|at|now|shows|reads|says|on|to|segna|dice|è|e|a|sta|adesso|ora))+$/u;

/** `counter 48210`, `the counter is at 48210`, `grinder 1200 kg`, `water meter: 8,200 l`. Undefined when the words are about something else. */
export const readCounter = (text: string, words: CounterWords): { readonly counter: Counter; readonly value: number } | undefined => {
  const found = /^\s*(?<name>\p{L}[\p{L} ]*?)\s*[:=]?\s*(?<number>\d[\d.,' \u00a0]*?)\s*(?<unit>\p{L}+)?\s*\.?\s*$/u.exec(text.toLowerCase());
  const { name = '', number = '', unit } = found?.groups ?? {};
  const value = readNumber(number);
  if (value === undefined) return undefined;
  const plain = name.replace(BEFORE, '').replace(SAYS, '');
  const named = (Object.keys(words) as readonly Counter[]).find((counter) => words[counter].includes(plain));
  if (named === undefined) return undefined;
  if (unit === undefined) return { counter: named, value };
  const measured = UNITS[unit] ?? (words.coffees.includes(unit) ? 'coffees' : undefined);
  // "counter 8200 l" is a water counter; "grinder 1200 coffees" is nothing we know.
  return measured === undefined || (measured !== named && named !== 'coffees') ? undefined : { counter: measured, value };
};
