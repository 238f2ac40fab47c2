import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseConfig } from '../words/config-file.ts';
import { languageSchema, type Language } from './find-language.ts';

const readOne = (folder: string, name: string): Language => {
  const path = join(folder, name);
  return parseConfig(languageSchema, readFileSync(path, 'utf8'), path);
};

/** How people say what is wrong, by language, from config/faults/phrases. */
export const readLanguages = (folder: string): ReadonlyMap<string, Language> =>
  new Map(readdirSync(folder).filter((name) => name.endsWith('.yaml')).sort().map((name) => readOne(folder, name)).map((language) => [language.language, language]));
