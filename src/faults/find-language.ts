import { newStemmer } from 'snowball-stemmers';
import { z } from 'zod';
import { DANGER_KINDS } from './catalogue-schema.ts';

const pattern = z.string().min(1).transform((text, context) => {
  try {
    return new RegExp(text, 'iu');
  } catch (cause) {
    context.addIssue({ code: 'custom', message: `"${text}" is no regular expression: ${String(cause)}` });
    return z.NEVER;
  }
});
const patterns = z.array(pattern).default([]);

/** One file a language in config/faults/phrases. Patterns see the text in lower case, accents removed, apostrophes plain. */
export const languageSchema = z.strictObject({
  language: z.string().regex(/^[a-z]{2}$/),
  stemmer: z.enum(['english', 'italian', 'spanish', 'french', 'german', 'portuguese', 'dutch']),
  stop: z.array(z.string()),
  /** Little words written together with the next by an apostrophe: l'acqua is acqua. */
  elided: z.array(z.string()).default([]),
  /** The word on the left stands for each on the right. */
  words: z.record(z.string(), z.array(z.string())),
  phrases: z.record(z.string(), z.array(z.string()).min(1)),
  /** Without one of these words a complaint is hardly meant: no lever trouble without a lever. */
  needs: z.record(z.string(), pattern).default({}),
  /** Patterns that point to a complaint, tried on the text as typed and with each thing under its one name. */
  signs: z.array(z.strictObject({ when: pattern, symptom: z.string(), weight: z.number().positive().max(2).default(0.4) })).default([]),
  groups: z.strictObject({ one: z.string(), noun: pattern, left: patterns, right: patterns, middle: patterns, all: patterns, number: patterns, ordinals: z.record(z.string(), z.number().int().min(1).max(4)) }),
  /** What a sentence says beside the complaint; only kept where the complaint allows the question. */
  says: z.array(z.strictObject({ when: pattern, question: z.string(), answer: z.string() })),
  tried: z.array(z.strictObject({ when: pattern, job: z.string() })),
  /** Words in another sense: taken out before anything is looked for. */
  otherSense: patterns,
  danger: z.array(z.strictObject({ kind: z.enum(DANGER_KINDS), sure: patterns, maybe: patterns })),
  complaint: z.strictObject({ things: patterns, troubles: patterns, chat: patterns }),
  /** Plain talk about the machine: acts told as whole sentences, beginnings of plain questions, and words that are no trouble by themselves. */
  talk: z.strictObject({ acts: patterns, questions: patterns, weak: pattern }),
  /** All is well: turns of phrase that say so, words of praise and thanks, and what may stand beside them. */
  well: z.strictObject({ signs: patterns, praise: z.array(z.string()).min(1), beside: z.array(z.string()) }),
});

export type Language = z.output<typeof languageSchema>;

/** Lower case, accents and odd apostrophes away, blanks single. */
export const plain = (text: string): string =>
  text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/[’‘`´]/g, "'").replace(/\s+/g, ' ').trim();

export type Tokens = (text: string) => readonly string[];

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

const withoutElided = ({ elided }: Language): ((text: string) => string) => {
  if (elided.length === 0) return (text) => text;
  const any = new RegExp(`(?<![\\p{L}])(?:${elided.map(escaped).join('|')})'`, 'gu');
  return (text) => text.replace(any, ' ');
};

/** Longest first, so that "hot water tap" is not cut by "tap". */
const replacer = (language: Language): ((text: string) => string) => {
  const { words } = language;
  const apart = withoutElided(language);
  const target = new Map(Object.entries(words).flatMap(([word, variants]) => variants.map((variant) => [plain(variant), plain(word)] as const)));
  const variants = [...target.keys()].sort((a, b) => b.length - a.length);
  if (variants.length === 0) return apart;
  const any = new RegExp(`(?<![\\p{L}\\p{N}])(?:${variants.map(escaped).join('|')})(?![\\p{L}\\p{N}])`, 'gu');
  return (text) => apart(text).replace(any, (found) => target.get(found) ?? found);
};

/** The text with every variant read as its one word: "portafilter" as "handle". */
export const canonicalOf = (language: Language): ((text: string) => string) => {
  const replace = replacer(language);
  return (text) => replace(plain(text));
};

/** Stems are remembered up to here: the words of all phrases, not whatever is ever typed. */
const MOST_STEMS = 5000;

/** Text to stems that carry meaning, in their order; what people call a thing is read as its one name. */
export const tokensOf = (language: Language): Tokens => {
  const replace = replacer(language);
  const stemmer = newStemmer(language.stemmer);
  const stop = new Set(language.stop.map(plain));
  const stems = new Map<string, string>();
  const stemOf = (word: string): string => {
    const known = stems.get(word);
    if (known !== undefined) return known;
    const stem = stemmer.stem(word);
    if (stems.size < MOST_STEMS) stems.set(word, stem);
    return stem;
  };
  return (text) =>
    replace(plain(text))
      .split(/[^\p{L}\p{N}']+/u)
      .map((word) => word.replace(/^'+|'+$/g, ''))
      .filter((word) => word !== '' && !stop.has(word))
      .map((word) => stemOf(word.replace(/'/g, '')));
};
