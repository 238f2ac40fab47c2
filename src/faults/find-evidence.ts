import { plain, type Language, type Tokens } from './find-language.ts';
import { withoutGroup } from './find-told.ts';

/** Letters in a row that count as a sign of their own: they bridge endings and typing errors. */
const LETTERS = 4;
/** Chance given to a sign a complaint's phrases never had; small, since phrases are few. */
const UNSEEN = 0.15;
/** Two words in a row, and letters in a row, overlap with single words: each counts half. */
const OVERLAP_WEIGHT = 0.5;

type Sign = string;

const signsOf = (language: Language, tokens: Tokens): ((text: string) => ReadonlySet<Sign>) => {
  return (text) => {
    const said = withoutGroup(language, plain(text));
    const words = tokens(said);
    const padded = ` ${said} `;
    const letters = Array.from({ length: Math.max(0, padded.length - LETTERS + 1) }, (_, at) => `~${padded.slice(at, at + LETTERS)}`);
    return new Set([...words, ...words.slice(1).map((word, at) => `~${words[at]} ${word}`), ...letters]);
  };
};

/**
 * Weight of evidence for each complaint: the sum over a text's signs of the log of how much oftener that complaint's
 * phrases show them than the others' (naive Bayes with presence only). It weighs whole sentences where the search
 * looks for the nearest phrase.
 */
export const evidenceOf = (language: Language, tokens: Tokens, known: ReadonlySet<string>): ((text: string) => ReadonlyMap<string, number>) => {
  const signs = signsOf(language, tokens);
  const phrases = Object.entries(language.phrases).flatMap(([symptom, texts]) => (known.has(symptom) ? texts.map((text) => ({ symptom, signs: signs(text) })) : []));
  const sizes = new Map<string, number>();
  const seen = new Map<Sign, Map<string, number>>();
  for (const { symptom, signs: shown } of phrases) {
    sizes.set(symptom, (sizes.get(symptom) ?? 0) + 1);
    for (const sign of shown) {
      const counts = seen.get(sign) ?? new Map<string, number>();
      seen.set(sign, counts.set(symptom, (counts.get(symptom) ?? 0) + 1));
    }
  }
  return (text) => {
    const shown = [...signs(text)].flatMap((sign) => {
      const counts = seen.get(sign);
      return counts ? [{ counts, all: [...counts.values()].reduce((a, b) => a + b, 0), weight: sign.startsWith('~') ? OVERLAP_WEIGHT : 1 }] : [];
    });
    return new Map([...sizes].map(([symptom, size]) => {
      const evidence = shown.reduce((sum, { counts, all, weight }) => {
        const here = counts.get(symptom) ?? 0;
        return sum + weight * Math.log(((here + UNSEEN) / (size + 1)) / ((all - here + UNSEEN) / (phrases.length - size + 1)));
      }, 0);
      return [symptom, evidence];
    }));
  };
};
