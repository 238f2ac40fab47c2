import { evidenceOf } from './find-evidence.ts';
import { findGroup, findTold, withoutGroup, type GroupTold, type Told } from './find-told.ts';
import { canonicalOf, plain, tokensOf, type Language } from './find-language.ts';
import { searchOf, type Hit } from './find-search.ts';
import { talkIn } from './find-talk.ts';
import { wellIn } from './find-well.ts';

/** Which complaint a sentence means. `also` names a second one told in the same sentence. */
export type Found =
  | { readonly kind: 'sure'; readonly symptom: string; readonly also: readonly string[] }
  | { readonly kind: 'unsure'; readonly nearest: readonly string[] }
  /** It says that all is well, thanks, or tells of something ordinary that was done. */
  | { readonly kind: 'well' }
  /** A plain question without a word of trouble. */
  | { readonly kind: 'question' }
  | { readonly kind: 'none' };

/** `score` is above 1 for a phrase said word by word; `rank` adds the weight of the whole sentence and decides the order. */
export type Scored = { readonly symptom: string; readonly score: number; readonly rank: number };
type Ranked = Hit & Scored;

export type Finder = {
  readonly find: (text: string) => Found;
  /** All complaints that have something in common with the text, best first. */
  readonly ranked: (text: string) => readonly Scored[];
  /** Whether the sentence is about the machine and something wrong with it at all. */
  readonly isComplaint: (text: string) => boolean;
  /** Which group or wand the sentence names. */
  readonly group: (text: string) => GroupTold | null;
  /** What else it says: answers to questions, jobs already tried. */
  readonly told: (text: string) => Told;
};

/** Settings found on the open sentences and bar chat in tests/faults/find; see docs/free-text.md. */
export const SURE_SCORE = 0.6;
export const SURE_LEAD = 0.35;
export const LEAST_SCORE = 0.33;
/** A sentence that names no part is a complaint if it says what is wrong, or nearly a phrase word by word. */
const TROUBLE_SCORE = 0.5;
const PHRASE_SCORE = 0.75;
const MOST_NEAREST = 3;
/** A second complaint in a clause of its own must be as clear as this. */
const SECOND_SCORE = 0.75;
const WITHOUT_NEED = 0.45;
const EVIDENCE_WEIGHT = 0.06;

const adjusted = (language: Language, hits: readonly Hit[], text: string, canonical: string): readonly Hit[] => {
  const found = new Map(hits.map((hit) => [hit.symptom, hit]));
  for (const { when, symptom, weight } of language.signs) {
    if (!when.test(text) && !when.test(canonical)) continue;
    const { score = 0, words = 0 } = found.get(symptom) ?? {};
    found.set(symptom, { symptom, score: score + weight, words: words + 1 });
  }
  return [...found.values()].map((hit) => ((language.needs[hit.symptom]?.test(`${text}\n${canonical}`) ?? true) ? hit : { ...hit, score: hit.score * WITHOUT_NEED }));
};

const clausesOf = (text: string): readonly string[] => text.split(/[,;.!?]+\s|\s(?:and also|and|also|plus|e anche|e|inoltre)\s/u).filter((clause) => clause.trim().split(/\s+/).length > 2);

/** The phrases indexed: a good part of a start, and of no use before somebody types a complaint in that language. */
const indexed = (language: Language, known: ReadonlySet<string>) => {
  const tokens = tokensOf(language);
  return { search: searchOf(language, tokens, known), evidence: evidenceOf(language, tokens, known), canonical: canonicalOf(language) };
};

export const createFinder = (language: Language, symptoms: readonly string[]): Finder => {
  const known = new Set(symptoms);
  let index: ReturnType<typeof indexed> | undefined;
  const well = wellIn(language);
  const talk = talkIn(language);
  const ranked = (text: string): readonly Ranked[] => {
    const { search, evidence, canonical } = (index ??= indexed(language, known));
    const said = plain(text);
    const weights = evidence(said);
    return adjusted(language, search(withoutGroup(language, said)), said, canonical(said))
      .filter(({ symptom }) => known.has(symptom))
      .map((hit) => ({ ...hit, rank: hit.score + EVIDENCE_WEIGHT * (weights.get(hit.symptom) ?? 0) }))
      .toSorted((a, b) => b.rank - a.rank || a.symptom.localeCompare(b.symptom));
  };
  const complains = (text: string): boolean => {
    const said = language.otherSense.reduce((left, pattern) => left.replace(new RegExp(pattern.source, 'giu'), ' '), plain(text));
    const [best = { score: 0, words: 0 }] = ranked(said);
    const { things, troubles, chat } = language.complaint;
    const about = things.some((thing) => thing.test(said));
    const trouble = troubles.some((each) => each.test(said));
    if (about) return trouble || (best.words >= 2 && best.score >= SURE_SCORE);
    return !chat.some((pattern) => pattern.test(plain(text))) && best.words >= 2 && best.score >= (trouble ? TROUBLE_SCORE : PHRASE_SCORE);
  };
  const also = (text: string, first: string): readonly string[] =>
    [...new Set(clausesOf(text).flatMap((clause) => {
      const [best, second] = ranked(clause);
      return best && best.symptom !== first && best.score >= SECOND_SCORE && best.rank - (second?.rank ?? -Infinity) >= SURE_LEAD ? [best.symptom] : [];
    }))];
  return {
    ranked,
    isComplaint: (text) => talk(text) === undefined && complains(text),
    group: (text) => findGroup(language, plain(text)),
    told: (text) => findTold(language, plain(text)),
    find: (text) => {
      const talked = talk(text);
      if (well(text) || talked === 'act') return { kind: 'well' };
      if (talked === 'question') return { kind: 'question' };
      const all = ranked(text);
      const [best, second] = all;
      if (!best || best.score < LEAST_SCORE) return { kind: 'none' };
      const complaint = complains(text);
      const clear = best.words >= 2 && best.score >= SURE_SCORE && best.rank - (second?.rank ?? -Infinity) >= SURE_LEAD;
      if (complaint && clear) return { kind: 'sure', symptom: best.symptom, also: also(text, best.symptom) };
      if (!complaint && best.score < SURE_SCORE) return { kind: 'none' };
      return { kind: 'unsure', nearest: all.slice(0, MOST_NEAREST).map(({ symptom }) => symptom) };
    },
  };
};
