import type { DoorWords } from './hours-words.ts';

export type Half = 'am' | 'pm';

/** A day is 1 for Monday to 7 for Sunday; 8 stands for public holidays. */
export type DoorToken =
  | { readonly kind: 'days'; readonly days: readonly number[]; readonly text: string }
  | {
      readonly kind: 'time';
      /** As written: 0 to 36 hours, 1 to 12 with a half of the day. In minutes. */
      readonly minutes: number;
      readonly half: Half | null;
      readonly text: string;
    }
  | { readonly kind: 'to' | 'and' | 'end' | 'closed'; readonly text: string };

export type Tokens =
  | { readonly ok: true; readonly tokens: readonly DoorToken[] }
  | {
      readonly ok: false;
      readonly problem: 'word-unknown' | 'time-unknown';
      readonly at: string;
    };

export const HOLIDAY = 8;
const ALL = [1, 2, 3, 4, 5, 6, 7];
const LONGEST_PHRASE = 4;

type Meaning = (text: string) => DoorToken | null;

const plain = (text: string): string =>
  text.toLowerCase().normalize('NFD').replace(/\p{M}/gu, '').normalize('NFKC');

const sayDays = (days: readonly number[]): Meaning => (text) => ({ kind: 'days', days, text });
const sayTwelve = (half: Half): Meaning => (text) => ({ kind: 'time', minutes: 720, half, text });
const say = (kind: 'to' | 'and' | 'end' | 'closed'): Meaning => (text) => ({ kind, text });

const beginningsOf = (name: string): readonly string[] =>
  Array.from({ length: Math.max(0, name.length - 2) }, (_, i) => name.slice(0, i + 2));

/** Short beginnings that two days share ("s" no, "sa" yes) mean neither. */
const addBeginnings = (book: Map<string, Meaning>, words: DoorWords): void => {
  const seen = new Map<string, number>();
  const all = words.days.flatMap((names, i) =>
    beginningsOf(names[0] ?? '').map((text) => ({ text, day: i + 1 })),
  );
  for (const { text } of all) seen.set(text, (seen.get(text) ?? 0) + 1);
  for (const { text, day } of all)
    if (seen.get(text) === 1 && !book.has(text)) book.set(text, sayDays([day]));
};

const addLanguage = (book: Map<string, Meaning>, words: DoorWords): void => {
  const add = (names: readonly string[], meaning: Meaning): void => {
    for (const name of names) if (!book.has(name)) book.set(name, meaning);
  };
  words.days.forEach((names, i) => add(names, sayDays([i + 1])));
  add(words.everyDay, sayDays(ALL));
  add(words.weekdays, sayDays([1, 2, 3, 4, 5]));
  add(words.weekend, sayDays([6, 7]));
  add(words.holidays, sayDays([HOLIDAY]));
  add(words.closed, say('closed'));
  add(words.to, say('to'));
  add(words.and, say('and'));
  add(words.noon, sayTwelve('pm'));
  add(words.midnight, sayTwelve('am'));
  add(words.filler, () => null);
  addBeginnings(book, words);
};

const bookOf = (languages: readonly DoorWords[]): ReadonlyMap<string, Meaning> => {
  const book = new Map<string, Meaning>();
  for (const words of languages) addLanguage(book, words);
  return book;
};

const SIGNS: ReadonlyMap<string, Meaning> = new Map([
  ['-', say('to')],
  [',', say('and')],
  ['&', say('and')],
  ['+', say('and')],
  ['/', say('and')],
  [';', say('end')],
  ['\n', say('end')],
  [':', () => null],
  ['.', () => null],
  ['(', () => null],
  [')', () => null],
  ['|', say('end')],
]);

const tidy = (text: string): string =>
  plain(text)
    .replace(/[‐‑‒–—―−~]/g, '-')
    .replace(/['’´`]/g, '')
    .replace(/[、，،]/g, ',')
    .replace(/\b([ap])\.\s?m\b\.?/g, '$1m')
    .replace(/(\d)\s+(am|pm)\b/g, '$1$2');

// A clock time with what hangs on it, a word, or one sign.
const PIECE = /\d+(?:[:.h]\d{2}(?!\d))?(?:(?:am|pm|h)(?!\p{L}))?|\p{L}+|[^\s]|\n/gu;

const timeToken = (text: string): DoorToken | null => {
  const [, hours, split, joined, half] =
    /^(\d{1,2})(?:[:.h](\d{2})|(\d{2}))?(am|pm|h)?$/.exec(text) ?? [];
  if (hours === undefined) return null;
  const minute = Number(split ?? joined ?? 0);
  const suffix = half === 'am' || half === 'pm' ? half : null;
  const hour = Number(hours);
  const hourFits = suffix === null ? hour <= 36 : hour >= 1 && hour <= 12;
  if (!hourFits || minute > 59) return null;
  return { kind: 'time', minutes: hour * 60 + minute, half: suffix, text };
};

/** The longest phrase that begins at piece `i`. */
const phraseAt = (
  book: ReadonlyMap<string, Meaning>,
  pieces: readonly string[],
  i: number,
): { readonly meaning: Meaning; readonly text: string; readonly length: number } | null => {
  for (let length = LONGEST_PHRASE; length >= 1; length -= 1) {
    const text = pieces.slice(i, i + length).join(' ');
    const meaning = book.get(text) ?? (length === 1 ? SIGNS.get(text) : undefined);
    if (meaning !== undefined && i + length <= pieces.length) return { meaning, text, length };
  }
  return null;
};

/** Splits what a door says into days, times and the words between them. */
export const tokensOf = (text: string, languages: readonly DoorWords[]): Tokens => {
  const book = bookOf(languages);
  const pieces = tidy(text).match(PIECE) ?? [];
  const tokens: DoorToken[] = [];
  for (let i = 0; i < pieces.length; ) {
    const piece = pieces[i] ?? '';
    const phrase = phraseAt(book, pieces, i);
    const token = phrase === null ? timeToken(piece) : phrase.meaning(phrase.text);
    if (phrase === null && token === null)
      return { ok: false, problem: /^\d/.test(piece) ? 'time-unknown' : 'word-unknown', at: piece };
    if (token !== null) tokens.push(token);
    i += phrase?.length ?? 1;
  }
  return { ok: true, tokens };
};
