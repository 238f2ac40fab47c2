import MiniSearch from 'minisearch';
import { tokensOf, type Language, type Tokens } from './find-language.ts';

/** Which complaint a sentence means. `also` names a second one told in the same sentence. */
export type Found =
  | { readonly kind: 'sure'; readonly symptom: string; readonly also: readonly string[] }
  | { readonly kind: 'unsure'; readonly nearest: readonly string[] }
  | { readonly kind: 'none' };

export type Scored = { readonly symptom: string; readonly score: number };

export type Finder = {
  readonly find: (text: string) => Found;
  /** All complaints that have something in common with the text, best first; scores between 0 and about 1. */
  readonly ranked: (text: string) => readonly Scored[];
};

/** Settings found on the development sentences in tests/faults/find; see docs/free-text.md. */
const FUZZY = 0.25;
const OTHER_PHRASES = 0.15;
export const SURE_SCORE = 0.5;
export const SURE_LEAD = 1.25;
export const LEAST_SCORE = 0.3;
const MOST_NEAREST = 3;

type Phrase = { readonly id: number; readonly symptom: string; readonly words: string };

/** Neighbouring words as one more token: "hot water" is not "hot" and "water". */
const withPairs = (tokens: readonly string[]): readonly string[] => [...tokens, ...tokens.slice(1).map((token, index) => `${tokens[index]}_${token}`)];

const indexOf = (phrases: readonly Phrase[], tokens: Tokens): MiniSearch<Phrase> => {
  const search = new MiniSearch<Phrase>({
    fields: ['words'],
    storeFields: ['symptom'],
    tokenize: (text) => [...withPairs(tokens(text))],
    processTerm: (term) => term,
    searchOptions: { prefix: (term) => term.length > 3 && !term.includes('_'), fuzzy: (term) => (term.length > 3 && !term.includes('_') ? FUZZY : false), combineWith: 'OR' },
  });
  search.addAll(phrases);
  return search;
};

/** Best phrase, and a little for every further one that says the same. */
const bySymptom = (results: readonly { readonly symptom: string; readonly score: number }[]): readonly Scored[] => {
  const scores = new Map<string, number[]>();
  for (const { symptom, score } of results) scores.set(symptom, [...(scores.get(symptom) ?? []), score]);
  return [...scores]
    .map(([symptom, all]) => {
      const [best = 0, ...others] = all.toSorted((a, b) => b - a);
      return { symptom, score: best + OTHER_PHRASES * others.slice(0, 3).reduce((sum, each) => sum + each, 0) };
    })
    .toSorted((a, b) => b.score - a.score || a.symptom.localeCompare(b.symptom));
};

export const createFinder = (language: Language, symptoms: readonly string[]): Finder => {
  const known = new Set(symptoms);
  const tokens = tokensOf(language);
  const phrases = Object.entries(language.phrases)
    .filter(([symptom]) => known.has(symptom))
    .flatMap(([symptom, texts]) => texts.map((words) => ({ symptom, words })))
    .map((phrase, id) => ({ id, ...phrase }));
  const search = indexOf(phrases, tokens);
  const ranked = (text: string): readonly Scored[] => bySymptom(search.search(text).map(({ symptom, score }) => ({ symptom: String(symptom), score })));
  return { ranked, find: (text) => decide(ranked(text)) };
};

const decide = (ranked: readonly Scored[]): Found => {
  const [best, second] = ranked;
  if (!best || best.score < LEAST_SCORE) return { kind: 'none' };
  if (best.score >= SURE_SCORE && best.score >= SURE_LEAD * (second?.score ?? 0)) return { kind: 'sure', symptom: best.symptom, also: [] };
  return { kind: 'unsure', nearest: ranked.slice(0, MOST_NEAREST).map(({ symptom }) => symptom) };
};
