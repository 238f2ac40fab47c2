/** A choice that may be typed instead of pressed. */
export type Typed = { readonly kind: 'answer'; readonly id: string } | { readonly kind: 'unsure' } | { readonly kind: 'back' } | { readonly kind: 'leave' } | { readonly kind: 'none' };

const plain = (text: string): string => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/[^\p{L}\p{N}]+/gu, ' ').trim();

const wordsOf = (text: string): readonly string[] => plain(text).split(' ').filter((word) => word !== '');

/** Every word of the shorter stands in the longer. */
const covers = (typed: readonly string[], label: readonly string[]): boolean => typed.length > 0 && typed.every((word) => label.includes(word));

/** Which of the answers a typed text names: by its label, its beginning, or all of its words; undecided means none. */
export const matchAnswer = (text: string, answers: readonly { readonly id: string; readonly label: string }[], unsure: string, back: string, leave: string): Typed => {
  const said = plain(text);
  if (said === plain(unsure) || said === plain(unsure).replace(/\s/g, '') || ['dunno', 'not sure', 'no idea', 'idk'].includes(said)) return { kind: 'unsure' };
  if (said === plain(back)) return { kind: 'back' };
  if (said === plain(leave)) return { kind: 'leave' };
  const exact = answers.find(({ label }) => plain(label) === said);
  if (exact) return { kind: 'answer', id: exact.id };
  const near = answers.filter(({ label }) => covers(wordsOf(text), wordsOf(label)));
  const [only] = near;
  return near.length === 1 && only ? { kind: 'answer', id: only.id } : { kind: 'none' };
};
