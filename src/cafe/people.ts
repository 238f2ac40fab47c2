import { shortened } from '../words/format.ts';
import { folded } from './fold.ts';

const MOST_NAMES = 25;

/** First names out of `names: Mia, Sam and Lina`, each once. Empty when what is there is no list of names. */
export const parsePeople = (text: string): readonly string[] => {
  const names = text
    .replace(/^\s*names?\s*:?\s+/i, '')
    .split(/[,;\n]|\s+(?:and|y|und|e|et)\s+|\s*&\s*/i)
    .map((name) => name.trim())
    .filter((name) => name !== '');
  const readable = names.every((name) => /^[\p{L}][\p{L}\p{M}'’. -]{0,29}$/u.test(name) && name.split(/\s+/).length <= 3);
  if (!readable || names.length > MOST_NAMES) return [];
  return names.filter((name, i) => names.findIndex((other) => folded(other) === folded(name)) === i).map((name) => shortened(name, 30));
};
