/** Small letters without accents and signs, one space between words: how typed words are compared. */
export const folded = (text: string): string =>
  text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().replace(/ł/g, 'l').replace(/ø/g, 'o').replace(/['’`´]/g, '').replace(/[^\p{L}\p{N}]+/gu, ' ').trim();

/** Is the text one of the words of a list such as `yes|that's it|right`? */
export const isOneOf = (text: string, list: string): boolean => list.split('|').some((word) => folded(word) === folded(text));
