import type { Say } from '../words/catalogue.ts';

/** Something said of a shelf: what lies there, what came, what went; `show` asks. */
export type StockSaid = { readonly of: 'van' | 'shelf'; readonly kind: 'show' | 'counted' | 'in' | 'out'; readonly rest: string };

const choices = (say: Say, key: string): string => say(key).split('|').map((word) => word.replaceAll(' ', '\\s+')).join('|');

const kindOf = (say: Say, sign: string, rest: string): Pick<StockSaid, 'kind' | 'rest'> => {
  if (sign === '+') return { kind: 'in', rest };
  if (sign === '-') return { kind: 'out', rest };
  for (const [kind, key] of [['in', 'booking.words.came'], ['out', 'booking.words.went']] as const) {
    const found = new RegExp(`^(?:${choices(say, key)})\\b[:\\s]*(.+)$`, 'isu').exec(rest);
    if (found) return { kind, rest: found[1] ?? '' };
  }
  return { kind: 'counted', rest };
};

/** "van", "van: 2 seals 8.5, 3 screens", "van + 2 pumps", "stock: took out 1 screen". Undefined: about something else. */
export const stockIn = (text: string, say: Say): StockSaid | undefined => {
  for (const of of ['van', 'shelf'] as const) {
    const name = choices(say, `booking.words.${of}`);
    if (new RegExp(`^(?:${name})\\s*\\??$`, 'iu').test(text.trim())) return { of, kind: 'show', rest: '' };
    const found = new RegExp(`^(?:${name})\\s*(?:(:|\\+|-)|\\s(?:${choices(say, 'booking.words.holds')})\\s)\\s*(.+)$`, 'isu').exec(text.trim());
    if (found) return { of, ...kindOf(say, found[1] ?? ':', (found[2] ?? '').trim()) };
  }
  return undefined;
};
