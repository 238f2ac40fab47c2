import type { Say } from '../words/catalogue.ts';
import type { Reader } from '../words/format.ts';

type Tongue = { readonly say: Say; readonly reader: Reader };

/** Who reads a message, and who else where the café has two languages. */
export type Show = Tongue & { readonly other?: Tongue };

const LABEL = 20;
const WIDTH = 64;

/** `Fatto · Done`: both in one piece where they fit into `most` characters, else the first alone. */
const joined = (first: string, second: string, most: number): string => {
  const both = first === second ? first : `${first} · ${second}`;
  return both.length <= most ? both : first;
};

/** What stands on a button; in two languages by the short form of the label. */
export const twoLabel = ({ say, other }: Show, key: string): string =>
  other === undefined ? say(`routine.button.${key}`) : joined(say(`routine.two.${key}`), other.say(`routine.two.${key}`), LABEL);

/** A piece of a line, the width of a line at most. */
export const twoWords = (show: Show, of: (tongue: Tongue) => string): string => (show.other === undefined ? of(show) : joined(of(show), of(show.other), WIDTH - 1));
