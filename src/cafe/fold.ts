/** Small letters without accents and signs, one space between words: how typed words are compared. */
export const folded = (text: string): string =>
  text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().replace(/ł/g, 'l').replace(/ø/g, 'o').replace(/['’`´]/g, '').replace(/[^\p{L}\p{N}]+/gu, ' ').trim();

/** Is the text one of the words of a list such as `yes|that's it|right`? */
export const isOneOf = (text: string, list: string): boolean => list.split('|').some((word) => folded(word) === folded(text));

/** One letter too many, too few, wrong, or two swapped. */
export const nearly = (a: string, b: string): boolean => {
  if (a === b) return true;
  if (Math.abs(a.length - b.length) > 1) return false;
  let i = 0;
  while (i < a.length && a[i] === b[i]) i++;
  const restA = a.slice(i);
  const restB = b.slice(i);
  if (restA.slice(1) === restB.slice(1) || restA.slice(1) === restB || restA === restB.slice(1)) return true;
  return restA.length === restB.length && restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
};
