import type { Say } from '../words/catalogue.ts';

/** A choice that may be typed instead of pressed. */
export type Typed = { readonly kind: 'answer'; readonly id: string } | { readonly kind: 'unsure' } | { readonly kind: 'back' } | { readonly kind: 'leave' } | { readonly kind: 'none' };

const plain = (text: string): string => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/[^\p{L}\p{N}]+/gu, ' ').trim();

const wordsOf = (text: string): readonly string[] => plain(text).split(' ').filter((word) => word !== '');

/** Every word of the shorter stands in the longer. */
const covers = (typed: readonly string[], label: readonly string[]): boolean => typed.length > 0 && typed.every((word) => label.includes(word));

/** What people type for the choices that every question has, as whole messages; from the catalogue of words. */
export type Usual = { readonly unsure: readonly string[]; readonly back: readonly string[]; readonly leave: readonly string[] };

export const usualIn = (say: Say): Usual => {
  const listed = (kind: keyof Usual): readonly string[] => say(`ask.typed.${kind}`).split(', ');
  return { unsure: [...listed('unsure'), say('faults.answer.dont-know')], back: [...listed('back'), say('ask.button.back')], leave: [...listed('leave'), say('ask.button.leave')] };
};

/** Which choice of a question a typed text names: by its label, or all of the words typed; undecided means none. */
export const matchAnswer = (text: string, answers: readonly { readonly id: string; readonly label: string }[], usual: Usual): Typed => {
  const said = plain(text);
  const names = (list: readonly string[]): boolean => list.some((each) => plain(each) === said);
  if (names(usual.unsure)) return { kind: 'unsure' };
  if (names(usual.back)) return { kind: 'back' };
  const exact = answers.find(({ label }) => plain(label) === said);
  if (exact) return { kind: 'answer', id: exact.id };
  if (names(usual.leave)) return { kind: 'leave' };
  const near = answers.filter(({ label }) => covers(wordsOf(text), wordsOf(label)));
  const [only] = near;
  return near.length === 1 && only ? { kind: 'answer', id: only.id } : { kind: 'none' };
};

/** Whether a whole message only goes back or leaves. */
export const isLeaving = (text: string, { back, leave }: Usual): boolean => [...back, ...leave].some((each) => plain(each) === plain(text));

/** Whether a whole message only asks whether somebody must come, without saying what is wrong. */
export const asksNeed = (text: string, say: Say): boolean => say('ask.typed.need').split(', ').some((each) => plain(each) === plain(text));
