import { plain, type Language } from './find-language.ts';
import { withoutGroup } from './find-told.ts';

/** "goood" as "good" and "niiice" as "nice": letters said three times and more count twice, or once. */
const unstretched = (text: string): readonly string[] => ['$1$1', '$1'].map((as) => text.replace(/(\p{L})\1{2,}/gu, as));

/**
 * Whether a sentence only says that all is well: at least one word of praise or thanks, and beside it nothing but names of
 * things, places and little words. One word more ("all fine but the steam") and it is read like any other sentence.
 */
export const wellIn = (language: Language): ((text: string) => boolean) => {
  const { signs, praise, beside } = language.well;
  const well = new Set(praise.map(plain));
  const little = new Set([...beside, ...language.stop].map(plain));
  const allWell = (text: string): boolean => {
    const said = signs.reduce((left, sign) => left.replace(new RegExp(sign.source, 'giu'), ` ${praise[0] ?? ''} `), withoutGroup(language, text));
    if (said.includes('?')) return false;
    const words = said.split(/[^\p{L}\p{N}']+/u).filter((word) => word !== '');
    return words.some((word) => well.has(word)) && words.every((word) => well.has(word) || little.has(word));
  };
  return (text) => unstretched(plain(text)).some(allWell);
};
