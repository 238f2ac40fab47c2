/** How one asks for a job in words, in one language: beginnings such as "how do i", and words that change nothing. */
export type CardPhrases = { readonly how: readonly string[]; readonly what: readonly string[]; readonly filler: readonly string[] };

/** A card and what people call its job. */
export type CardNames = { readonly job: string; readonly names: readonly string[] };

export type CardAsk = { readonly kind: 'how' | 'what'; readonly jobs: readonly string[] };

const plainWords = (text: string): readonly string[] =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[\u2019\u2018`]/g, "'")
    .replace(/'s\b/g, ' is')
    .replace(/[^\p{L}\p{N}' ]+/gu, ' ')
    .split(/\s+/)
    .filter((word) => word !== '');

const startsWith = (words: readonly string[], beginning: readonly string[]): boolean => beginning.length > 0 && beginning.every((word, i) => words[i] === word);

/** What follows the longest of the beginnings; undefined where none fits. */
const after = (words: readonly string[], beginnings: readonly string[]): readonly string[] | undefined => {
  const fitting = beginnings.map(plainWords).filter((beginning) => startsWith(words, beginning));
  const longest = fitting.reduce<readonly string[]>((best, one) => (one.length > best.length ? one : best), []);
  return longest.length === 0 ? undefined : words.slice(longest.length);
};

/** Words around a name that may stand there in a question about it: a number, a place, a courtesy. */
const MOST_EXTRA = 3;

/**
 * Cards named in some words, the longest names first: of "clean the steam tip" and "clean" the former. With `strictly`
 * the words must be a name and nothing else.
 */
export const namedCards = (text: string, cards: readonly CardNames[], filler: readonly string[], strictly = false): readonly string[] => {
  const said = plainWords(text).filter((word) => !filler.includes(word));
  const scored = cards.flatMap(({ job, names }) =>
    names.flatMap((name) => {
      const wanted = plainWords(name).filter((word) => !filler.includes(word));
      const there = wanted.length > 0 && wanted.every((word) => said.includes(word));
      return there && said.length - wanted.length <= (strictly ? 0 : MOST_EXTRA) ? [{ job, words: wanted.length }] : [];
    }),
  );
  const most = Math.max(0, ...scored.map(({ words }) => words));
  return [...new Set(scored.filter(({ words }) => words === most).map(({ job }) => job))];
};

/** "how do I backflush", "what is a backflush": which cards are asked for. Undefined for anything else. */
export const readCardAsk = (text: string, phrases: CardPhrases, cards: readonly CardNames[]): CardAsk | undefined => {
  const words = plainWords(text);
  if (words.length === 0 || words.length > 14) return undefined;
  const what = after(words, phrases.what);
  const how = what === undefined ? after(words, phrases.how) : undefined;
  const rest = what ?? how;
  if (rest === undefined) return undefined;
  const jobs = namedCards(rest.join(' '), cards, phrases.filler, what !== undefined);
  return jobs.length > 0 ? { kind: what === undefined ? 'how' : 'what', jobs } : undefined;
};

/** Typed instead of pressed: words that look like an answer to a card. */
export const isTypedAnswer = (text: string, answers: readonly string[]): boolean => {
  const said = plainWords(text).join(' ');
  return answers.some((answer) => plainWords(answer).join(' ') === said);
};
