import type { DangerKind } from './catalogue-schema.ts';
import { plain, type Language } from './find-language.ts';

/** A danger told of in a sentence; `sure` is false where the words can be meant otherwise. */
export type DangerTold = { readonly kind: DangerKind; readonly sure: boolean };

/**
 * The same in any language, the reader's own first: in a fright people speak their own, whatever the café's is. What means
 * something else in one of them ("gas station") is left out for all.
 */
export const dangerInAny = (text: string, own: Pick<Language, 'danger'> | undefined, all: readonly Pick<Language, 'danger' | 'otherSense'>[]): DangerTold | undefined => {
  const otherSense = all.flatMap((language) => language.otherSense);
  return [...(own ? [own] : []), ...all].flatMap(({ danger }) => dangerIn(text, { danger, otherSense }) ?? [])[0];
};

/** The first danger the sentence tells of, in the order of the language's list; words in another sense are left out first. */
export const dangerIn = (text: string, language: Pick<Language, 'danger' | 'otherSense'>): DangerTold | undefined => {
  const said = language.otherSense.reduce((left, pattern) => left.replace(new RegExp(pattern.source, 'giu'), ' '), plain(text));
  const sure = language.danger.find(({ sure: patterns }) => patterns.some((pattern) => pattern.test(said)));
  if (sure) return { kind: sure.kind, sure: true };
  const maybe = language.danger.find(({ maybe: patterns }) => patterns.some((pattern) => pattern.test(said)));
  return maybe && { kind: maybe.kind, sure: false };
};
