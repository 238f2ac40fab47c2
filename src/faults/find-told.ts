import { plain, type Language } from './find-language.ts';

/** A place named in a sentence: the group's number, or its side as one stands at the machine. */
export type GroupTold = { readonly kind: 'number'; readonly number: number } | { readonly kind: 'side'; readonly side: 'left' | 'right' | 'middle' } | { readonly kind: 'all' };

/** Answers that stand in the sentence already, and jobs that were tried. The caller keeps those its complaint allows. */
export type Told = { readonly answers: readonly { readonly question: string; readonly answer: string }[]; readonly tried: readonly string[] };

const SIDES = ['left', 'right', 'middle'] as const;

const numberIn = (language: Language, text: string): number | undefined => {
  for (const pattern of language.groups.number) {
    const said = pattern.exec(text)?.slice(1).find((part) => part !== undefined);
    if (said === undefined) continue;
    const number = language.groups.ordinals[said] ?? Number(said);
    if (number >= 1 && number <= 4) return number;
  }
  return undefined;
};

export const findGroup = (language: Language, text: string): GroupTold | null => {
  const number = numberIn(language, text);
  if (number !== undefined) return { kind: 'number', number };
  const side = SIDES.find((each) => language.groups[each].some((pattern) => pattern.test(text)));
  if (side) return { kind: 'side', side };
  return language.groups.all.some((pattern) => pattern.test(text)) ? { kind: 'all' } : null;
};

/** The number of a group told by its place, as one stands at the machine. */
export const groupNumber = (told: GroupTold | null, groups: number): number | null => {
  switch (told?.kind) {
    case 'number':
      return told.number <= groups ? told.number : null;
    case 'side':
      return told.side === 'left' ? 1 : told.side === 'right' ? groups : groups === 3 ? 2 : null;
    default:
      return null;
  }
};

/** The text without the place: "group 2" is said of every complaint and tells none of them. */
export const withoutGroup = (language: Language, text: string): string => {
  const { left, right, middle, number, noun, one } = language.groups;
  const replaced = (place: string): string => (noun.test(place) ? ` ${one} ` : ' ');
  return [...number, ...left, ...right, ...middle].reduce((rest, pattern) => rest.replace(new RegExp(pattern.source, 'giu'), replaced), plain(text));
};

export const findTold = (language: Language, text: string): Told => {
  const answers = new Map<string, string>();
  for (const { when, question, answer } of language.says) if (!answers.has(question) && when.test(text)) answers.set(question, answer);
  return {
    answers: [...answers].map(([question, answer]) => ({ question, answer })),
    tried: [...new Set(language.tried.flatMap(({ when, job }) => (when.test(text) ? [job] : [])))],
  };
};
