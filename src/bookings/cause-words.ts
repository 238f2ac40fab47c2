import type { Words } from '../words/catalogue.ts';
import { plainly } from './typed-meaning.ts';
import { causeText } from './views-what.ts';

/** Causes of the catalogue by the names they have on buttons and in messages, in each language, made once. */
export const causesIn = (words: Words, causes: readonly string[]): ((locale: string, text: string) => string | undefined) => {
  const known = new Map<string, ReadonlyMap<string, string>>();
  return (given, text) => {
    const locale = words.nearest(given);
    const say = words.in(locale);
    const names = known.get(locale) ?? new Map(causes.flatMap((cause) => (['', '.short'] as const).map((form) => [plainly(causeText(say, cause, form)), cause] as const)));
    known.set(locale, names);
    return names.get(plainly(text));
  };
};
