import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { IntlMessageFormat } from 'intl-messageformat';
import { z } from 'zod';
import { formatLocale } from './format.ts';

export type Value = string | number | Date;
export type Values = Readonly<Record<string, Value>>;
/** Words in one language: the text behind a key, with its values put in. Throws for a key no language has. */
export type Say = (key: string, values?: Values) => string;
export type Texts = ReadonlyMap<string, string>;

const fileSchema = z.record(z.string(), z.string().min(1));

/** A broken file of words: which file, what is wrong and what to do. */
export class BrokenWords extends Error {}

const readFile = (path: string): Readonly<Record<string, string>> => {
  try {
    const parsed = fileSchema.safeParse(JSON.parse(readFileSync(path, 'utf8')));
    if (parsed.success) return parsed.data;
    throw new BrokenWords(`${path}: every key must hold a text: ${z.prettifyError(parsed.error)}`);
  } catch (cause) {
    if (cause instanceof BrokenWords) throw cause;
    throw new BrokenWords(`${path} cannot be read as JSON. Correct it or restore it.`, { cause });
  }
};

const readLanguage = (folder: string): Texts => {
  const texts = new Map<string, string>();
  for (const name of readdirSync(folder).filter((each) => each.endsWith('.json')).sort())
    for (const [key, text] of Object.entries(readFile(join(folder, name)))) {
      if (texts.has(key)) throw new BrokenWords(`${join(folder, name)}: "${key}" stands in two files. Keep one.`);
      texts.set(key, text);
    }
  return texts;
};

/** All languages below a folder: one sub-folder a language, any number of flat JSON files in each. */
export const readTexts = (folder: string): ReadonlyMap<string, Texts> =>
  new Map(readdirSync(folder).filter((each) => statSync(join(folder, each)).isDirectory()).sort().map((locale) => [locale, readLanguage(join(folder, locale))]));

export type Words = {
  /** Languages with texts of their own. */
  readonly languages: readonly string[];
  /** The nearest language we have: itself, then without its region, then English. */
  readonly nearest: (locale: string | undefined) => string;
  readonly in: (locale: string | undefined) => Say;
  readonly has: (key: string) => boolean;
};

const FALLBACK = 'en';

export const createWords = (texts: ReadonlyMap<string, Texts>, locale: (language: string) => string = formatLocale): Words => {
  const formats = new Map<string, IntlMessageFormat>();
  const says = new Map<string, Say>();
  const nearest = (locale: string | undefined): string => {
    const wanted = locale ?? FALLBACK;
    return [wanted, wanted.split('-')[0] ?? wanted].find((each) => texts.has(each)) ?? FALLBACK;
  };
  const formatOf = (language: string, key: string): IntlMessageFormat => {
    const id = `${language} ${key}`;
    const known = formats.get(id);
    if (known) return known;
    const own = texts.get(language)?.get(key);
    const text = own ?? texts.get(FALLBACK)?.get(key);
    if (text === undefined) throw new BrokenWords(`no text for "${key}"`);
    const made = new IntlMessageFormat(text, locale(own === undefined ? FALLBACK : language));
    formats.set(id, made);
    return made;
  };
  const sayIn = (language: string): Say => (key, values) => String(formatOf(language, key).format(values as Record<string, Value>));
  return {
    languages: [...texts.keys()],
    nearest,
    in: (locale) => {
      const language = nearest(locale);
      const say = says.get(language) ?? sayIn(language);
      says.set(language, say);
      return say;
    },
    has: (key) => texts.get(FALLBACK)?.has(key) ?? false,
  };
};
