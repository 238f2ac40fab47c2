import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';
import { z } from 'zod';
import { languageSchema, type Language } from './find-language.ts';

/** A file of phrases that cannot be used: where, what, and what to do. */
export class BrokenPhrases extends Error {}

const readOne = (folder: string, name: string): Language => {
  const path = join(folder, name);
  let raw: unknown;
  try {
    raw = parse(readFileSync(path, 'utf8'));
  } catch (cause) {
    throw new BrokenPhrases(`${path} is not readable YAML: ${cause instanceof Error ? cause.message : ''}`, { cause });
  }
  const parsed = languageSchema.safeParse(raw);
  if (!parsed.success) throw new BrokenPhrases(`${path} needs a change:\n${z.prettifyError(parsed.error)}`);
  return parsed.data;
};

/** How people say what is wrong, by language, from config/faults/phrases. */
export const readLanguages = (folder: string): ReadonlyMap<string, Language> =>
  new Map(readdirSync(folder).filter((name) => name.endsWith('.yaml')).sort().map((name) => readOne(folder, name)).map((language) => [language.language, language]));
