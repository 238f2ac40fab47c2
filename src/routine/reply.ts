import type { Lexicon } from './lexicons.ts';
import { asWord, isStretched, wordsOf, type Nameable } from './reply-words.ts';
import { readShort, readWhole, type ShortReply } from './short-words.ts';

/** Why something cannot be done. */
export type Hindrance = 'supplies' | 'time' | 'broken' | 'not-shown' | 'off';

/**
 * What a typed answer to a list means. `done` with the jobs it names; `unsure`: a "done" among words we do not know,
 * to be confirmed with one press; `not done`: they say it is not; `none`: not an answer to a list at all.
 */
export type Reply =
  | { readonly kind: 'done'; readonly jobs: readonly string[]; readonly by?: string }
  | { readonly kind: 'unsure' }
  /** Whether it is done, who did it: told how the list stands. */
  | { readonly kind: 'asked' }
  /** Done at some groups of the machine. `jobs`: those named, else whatever is done at each group. */
  | { readonly kind: 'part'; readonly jobs: readonly string[]; readonly groups: readonly number[] }
  /** Done the day before its list. */
  | { readonly kind: 'yesterday'; readonly jobs: readonly string[] }
  | ShortReply
  | { readonly kind: 'not done' }
  /** Done, but for these jobs, in words that leave a doubt: asked about. `still`: they say it is going on. */
  | { readonly kind: 'but'; readonly open: readonly string[]; readonly still: boolean }
  /** They cannot; `why` where they say so. `bare`: nothing else was said, so it can only be about a list. */
  | { readonly kind: "can't"; readonly why: Hindrance | null; readonly bare: boolean }
  | { readonly kind: 'none' };

type Sorted = { readonly named: readonly string[]; readonly excepted: readonly string[]; readonly unknown: readonly string[]; readonly done: boolean; readonly all: boolean };

const sortWords = (words: readonly string[], lexicon: Lexicon, jobs: readonly Nameable[]): Sorted => {
  const named = new Set<string>();
  const excepted = new Set<string>();
  const unknown: string[] = [];
  let done = false;
  let all = false;
  let excluding = false;
  for (const word of words) {
    const job = jobs.filter((each) => String(each.position) === word || asWord(word, each.names));
    if (job.length > 0) for (const each of job) (excluding ? excepted : named).add(each.id);
    else if (asWord(word, lexicon.done, lexicon.unlike) || isStretched(word, lexicon.done)) done = true;
    else if (lexicon.all.includes(word)) all = true;
    else if (asWord(word, lexicon.except)) excluding = true;
    else if (!lexicon.filler.includes(word)) unknown.push(word);
  }
  return { named: [...named], excepted: [...excepted], unknown, done, all };
};

const hindranceIn = (words: readonly string[], lexicon: Lexicon): Hindrance | null => {
  const any = (list: readonly string[]): boolean => words.some((word) => asWord(word, list));
  if (any(lexicon.supplies)) return 'supplies';
  if (any(lexicon.broken)) return 'broken';
  if (any(lexicon.noTime)) return 'time';
  if (words.some((word) => lexicon.off.includes(word))) return 'off';
  return any(lexicon.notShown) ? 'not-shown' : null;
};

/** "The detergent is finished": of what is finished there, and nothing else is told. */
const usedUp = (words: readonly string[], lexicon: Lexicon): boolean =>
  words.length <= 6 && words.some((word, i) => asWord(word, lexicon.supplies) && words.slice(i + 1, i + 4).some((next) => lexicon.usedUp.includes(next))) && words.every((word) => asWord(word, lexicon.supplies) || lexicon.usedUp.includes(word) || lexicon.filler.includes(word) || lexicon.all.includes(word));

/** "Can't" at the beginning, or a lack of what it takes; a sentence that only holds such a word somewhere is not one. */
const cannotIn = (words: readonly string[], lexicon: Lexicon): Reply | undefined => {
  if (words.includes('?')) return undefined;
  const says = words.slice(0, 4).some((word) => lexicon.cannot.includes(word));
  const lacks = words.some((word, i) => lexicon.lacking.includes(word) && words.slice(i + 1, i + 4).some((next) => asWord(next, lexicon.supplies))) || usedUp(words, lexicon);
  const tired = words.some((word, i) => [lexicon.lacking, lexicon.not, lexicon.tooMuch].flat().includes(word) && words.slice(i + 1, i + 4).some((next) => lexicon.noTime.includes(next)));
  if (!says && !lacks && !tired) return undefined;
  const why = hindranceIn(words, lexicon);
  const plain = [lexicon.cannot, lexicon.filler, lexicon.lacking, lexicon.noTime, lexicon.tooMuch, lexicon.notShown, lexicon.done, lexicon.not, lexicon.off, lexicon.machine].flat();
  if (tired && !says && !lacks && !words.every((word) => plain.includes(word))) return undefined;
  const bare = (says || tired) && words.every((word) => plain.includes(word));
  return says && why === null && words.length > 4 && !bare ? undefined : { kind: "can't", why, bare };
};

/** "The rest tomorrow": what was not named is what is not done. */
const restIsOpen = (words: readonly string[], lexicon: Lexicon): boolean => {
  const rest = words.findIndex((word) => lexicon.rest.includes(word));
  const next = rest < 0 ? undefined : words.slice(rest + 1).find((word) => !lexicon.filler.includes(word));
  return next !== undefined && lexicon.not.includes(next);
};

/** "Group 1 and 2": those groups, and the words without them. */
const withoutGroups = (words: readonly string[], lexicon: Lexicon): { readonly rest: readonly string[]; readonly groups: readonly number[] } => {
  const at = words.findIndex((word, i) => lexicon.group.includes(word) && /^[1-6]$/.test(words[i + 1] ?? ''));
  if (at < 0) return { rest: words, groups: [] };
  const tail = words.slice(at + 1);
  const until = tail.findIndex((word) => !/^[1-6]$/.test(word) && !lexicon.filler.includes(word));
  const figures = (until < 0 ? tail : tail.slice(0, until)).filter((word) => /^[1-6]$/.test(word));
  return { rest: [...words.slice(0, at), ...(until < 0 ? [] : tail.slice(until))], groups: figures.map(Number) };
};

/** Done at these groups: the jobs that are a group's own, else a part of those done at each group. */
const atGroups = (groups: readonly number[], named: readonly string[], jobs: readonly Nameable[]): Reply => {
  const own = jobs.filter(({ id, group }) => group != null && groups.includes(group) && (named.length === 0 || named.includes(id))).map(({ id }) => id);
  return own.length > 0 ? { kind: 'done', jobs: own } : { kind: 'part', jobs: named, groups };
};

/** "Done, but the soak is still going": the jobs that are not, where the words name some and not all of them. */
const butIn = (words: readonly string[], lexicon: Lexicon, jobs: readonly Nameable[], found: Sorted): Reply => {
  const denied = words.findIndex((word) => lexicon.not.includes(word));
  const after = sortWords(words.slice(denied), lexicon, jobs);
  const begun = words.slice(0, Math.max(0, denied)).findLastIndex((word) => asWord(word, lexicon.done, lexicon.unlike));
  const between = sortWords(words.slice(begun + 1, Math.max(0, denied)), lexicon, jobs);
  const others = restIsOpen(words, lexicon) ? jobs.map(({ id }) => id).filter((id) => !found.named.includes(id)) : [];
  const open = [found.excepted, others, [...after.named, ...after.excepted], between.named, found.named].find((ids) => ids.length > 0) ?? [];
  return open.length === 0 || open.length >= jobs.length ? { kind: 'not done' } : { kind: 'but', open, still: words.some((word) => lexicon.still.includes(word)) };
};

const begins = (words: readonly string[], phrases: readonly string[]): boolean => phrases.some((phrase) => `${words.join(' ')} `.startsWith(`${phrase} `));

/** Asking whether something else may take the detergent's place: `can I use bleach?`. Only ever answered with no. */
export const asksSubstitute = (text: string, lexicon: Lexicon): boolean => {
  const words = wordsOf(text);
  const plain = ` ${words.join(' ')} `;
  return words.length <= 16 && lexicon.substitutes.some((each) => plain.includes(` ${each} `)) && (words.includes('?') || words.some((word) => lexicon.instead.includes(word)) || begins(words, lexicon.mayI));
};

/** Reads a typed answer. `people` are names that may stand beside "done" ("done Mia"). */
export const readReply = (text: string, lexicon: Lexicon, jobs: readonly Nameable[], people: readonly string[] = []): Reply => {
  const words = wordsOf(text);
  if (words.length === 0 || words.length > 16) return { kind: 'none' };
  const whole = readWhole(words, lexicon);
  if (whole) return whole;
  const cannot = cannotIn(words, lexicon);
  if (cannot) return cannot;
  const { rest, groups } = withoutGroups(words, lexicon);
  const found = sortWords(rest.filter((word) => word !== '?'), lexicon, jobs);
  const says = found.done || (found.all && found.excepted.length > 0);
  const denied = words.some((word) => lexicon.not.includes(word));
  if (!says) return (groups.length === 0 ? readShort(words, lexicon, jobs) : undefined) ?? { kind: 'none' };
  if (begins(words, lexicon.asks)) return denied ? { kind: 'not done' } : { kind: 'asked' };
  if (denied) return found.done && !words.includes('?') ? butIn(words, lexicon, jobs, found) : { kind: 'not done' };
  if (words.includes('?')) return { kind: 'unsure' };
  const by = people.find((name) => found.unknown.includes(name.toLowerCase()));
  const unknown = found.unknown.filter((word) => word !== by?.toLowerCase());
  if (unknown.some((word) => !lexicon.yesterday.includes(word))) return { kind: 'unsure' };
  if (groups.length > 0 && found.excepted.length === 0) return atGroups(groups, found.named, jobs);
  const wanted = found.named.length > 0 && found.excepted.length === 0 ? found.named : jobs.map((job) => job.id).filter((id) => !found.excepted.includes(id));
  if (unknown.length > 0) return { kind: 'yesterday', jobs: wanted };
  return { kind: 'done', jobs: wanted, ...(by === undefined ? {} : { by }) };
};
