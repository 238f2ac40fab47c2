import MiniSearch from 'minisearch';
import type { Language, Tokens } from './find-language.ts';
import { withoutGroup } from './find-told.ts';

/** Edit distance by word length, as a share; a shorter word must be right ("sold" is not "cold"), but may go on. */
const FUZZY = 0.25;
const LEAST_FUZZY_LENGTH = 5;
const LEAST_PREFIX_LENGTH = 4;
/** Neighbouring words count as a term of their own, at this weight: "hot water" is more than "hot" and "water". */
const PAIR_WEIGHT = 0.3;
/** A term that only looks like the one typed counts less. */
const NEAR_WEIGHT = 0.7;
/** 0: how much of a phrase was said; 1: how much of the sentence a phrase explains. */
const SENTENCE_SHARE = 0.6;
/** What the second to fourth phrase of a complaint add to its best. */
const OTHER_PHRASES = 0.25;

type Phrase = { readonly id: number; readonly symptom: string; readonly terms: readonly string[] };
type Weigh = (term: string) => number;

const single = (term: string): boolean => !term.includes('_');

const termsOf = (tokens: readonly string[]): readonly string[] => [...new Set([...tokens, ...tokens.slice(1).map((token, index) => `${tokens[index]}_${token}`)])];
const sum = (terms: readonly string[], weigh: Weigh): number => terms.reduce((total, term) => total + weigh(term), 0);

/** Rare words tell more: a term weighs by the number of complaints whose phrases have it. */
const weigher = (phrases: readonly Phrase[]): Weigh => {
  const complaints = new Map<string, Set<string>>();
  for (const { symptom, terms } of phrases) for (const term of terms) complaints.set(term, (complaints.get(term) ?? new Set()).add(symptom));
  const all = new Set(phrases.map(({ symptom }) => symptom)).size;
  return (term) => Math.log(1 + all / (complaints.get(term)?.size ?? 0.7)) * (single(term) ? 1 : PAIR_WEIGHT);
};


const indexOf = (phrases: readonly Phrase[]): MiniSearch => {
  const search = new MiniSearch({
    fields: ['words'],
    tokenize: (text) => text.split(' '),
    processTerm: (term) => term,
    searchOptions: { combineWith: 'OR', prefix: (term) => single(term) && term.length >= LEAST_PREFIX_LENGTH, fuzzy: (term) => (single(term) && term.length >= LEAST_FUZZY_LENGTH ? FUZZY : false) },
  });
  search.addAll(phrases.map(({ id, terms }) => ({ id, words: terms.join(' ') })));
  return search;
};

/** `words`: how many words of the text stand in the best phrase as they were typed. */
export type Hit = { readonly symptom: string; readonly score: number; readonly words: number };

const gathered = (found: ReadonlyMap<string, readonly Hit[]>): readonly Hit[] =>
  [...found].map(([symptom, hits]) => {
    const [best, ...others] = hits.toSorted((a, b) => b.score - a.score);
    const rest = others.slice(0, 3).reduce((total, each) => total + each.score, 0);
    return { symptom, score: (best?.score ?? 0) + OTHER_PHRASES * rest, words: best?.words ?? 0 };
  });

/** Scores of the complaints whose phrases share words with the text. */
export const searchOf = (language: Language, tokens: Tokens, known: ReadonlySet<string>): ((text: string) => readonly Hit[]) => {
  const phrases = Object.entries(language.phrases)
    .filter(([symptom]) => known.has(symptom))
    .flatMap(([symptom, texts]) => texts.map((text) => ({ symptom, terms: termsOf(tokens(withoutGroup(language, text))) })))
    .map((phrase, id): Phrase => ({ id, ...phrase }));
  const weigh = weigher(phrases);
  const sizes = phrases.map(({ terms }) => sum(terms, weigh));
  const written = new Set(phrases.flatMap(({ terms }) => terms));
  const search = indexOf(phrases);
  return (text) => {
    const terms = termsOf(tokens(text));
    const size = sum(terms.filter((term) => single(term) || written.has(term)), weigh);
    const said = new Set(terms);
    const found = new Map<string, readonly Hit[]>();
    for (const { id, terms: hits } of terms.length > 0 ? search.search(terms.join(' ')) : []) {
      const phrase = phrases[Number(id)];
      if (!phrase) continue;
      const shared = sum(hits, (term) => weigh(term) * (said.has(term) ? 1 : NEAR_WEIGHT));
      const score = shared / (size ** SENTENCE_SHARE * (sizes[phrase.id] ?? 1) ** (1 - SENTENCE_SHARE));
      const words = hits.filter((term) => single(term) && said.has(term)).length;
      found.set(phrase.symptom, [...(found.get(phrase.symptom) ?? []), { symptom: phrase.symptom, score, words }]);
    }
    return gathered(found);
  };
};
