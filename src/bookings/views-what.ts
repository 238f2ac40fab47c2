import { shimHeight } from '../parts/shim-part.ts';
import type { Say } from '../words/catalogue.ts';
import { inTen, listed, shortDate, shortened } from '../words/format.ts';
import type { Handoff } from './handoff.ts';
import type { PartCount } from './kit.ts';
import { dayName, fitted, hoursText, type Show } from './show.ts';
import type { Span } from './span.ts';
import { sameSpan } from './span.ts';

/** What it is about, in a few words: `symptom.…`, `danger.…` or `about.…` of the facts. */
export const whatText = (say: Say, symptom: string, group: number | null): string => {
  const [kind = '', ...rest] = symptom.split('.');
  const id = rest.join('.');
  if (kind === 'danger') return say(`danger.kind.${id}`);
  if (kind === 'about') return say(`booking.about.${id.replaceAll(' ', '-')}`);
  return group === null ? say(`faults.symptom.${id}.short`) : say('booking.what.group', { what: say(`faults.symptom.${id}.short`), group });
};

/** A cause in words; the short form fits a button. */
export const causeText = (say: Say, cause: string, form: '' | '.short' = ''): string => cause.split('+').map((part) => say(`faults.cause.${part}${form}`)).join(say('ask.and'));

/** Size of a seal among the parts of the book; undefined for every other part. */
export const sizeOfPart = (part: string): string | undefined => /^seal-(\d+(?:\.\d+)?)$/.exec(part)?.[1];

export const partText = ({ say }: Pick<Show, 'say'>, { part, count }: PartCount): string => {
  const size = sizeOfPart(part);
  const height = shimHeight(part);
  if (height !== undefined) return say('booking.part.shim-of', { height: String(height), count });
  return size === undefined ? say(`booking.part.${part}`, { count }) : say('booking.part.seal', { size, count });
};

/** Parts in a row; seals of several sizes, one each, as one entry. */
export const bringText = (show: Show, bring: readonly PartCount[]): string => {
  const seals = bring.filter(({ part }) => sizeOfPart(part) !== undefined);
  const together = seals.length > 1 && seals.every(({ count }) => count === 1);
  const sizes = seals.map(({ part }) => Number(sizeOfPart(part))).toSorted((a, b) => a - b).map(String);
  const others = bring.filter((one) => !together || !seals.includes(one)).map((one) => partText(show, one));
  return listed([...others, ...(together ? [show.say('booking.seals', { sizes: listed(sizes, show.reader.locale) })] : [])], show.reader.locale);
};

/** What lies somewhere: each kind with its count. */
export const stockText = (show: Pick<Show, 'say' | 'reader'>, stock: readonly PartCount[]): string => (stock.length === 0 ? show.say('booking.stock.nothing') : listed(stock.map((one) => partText(show, one)), show.reader.locale));

/** "9 in 10", and words at both ends. */
const briefChance = (say: Say, chance: number): string => say('booking.chance', { tenths: inTen(chance) });

/** "Likely a valve that does not shut, 8 in 10. Bring: valve kit.", as much of it as fits one line; what to bring comes first. */
export const likelyLine = (show: Show, { likely, bring, words, dueBy }: Handoff['first']): string => {
  const { say } = show;
  if (dueBy !== null) return say('booking.due-by', { date: shortDate(dueBy, show.reader) });
  const parts = bringText(show, bring);
  // Where nobody knows the cause, the caller's words tell most.
  if (likely === null && bring.length === 0) return words === null || words.text === '' ? say('booking.likely.unknown') : fitted(say('booking.d.words', { words: words.text, name: words.by }), say('booking.d.words', { words: shortened(words.text, 50 - words.by.length), name: words.by }));
  if (likely === null) return fitted(say('booking.bring', { parts }));
  const cause = causeText(say, likely.cause);
  const brief = causeText(say, likely.cause, '.short').toLowerCase();
  const chance = briefChance(say, likely.chance);
  if (bring.length === 0) return fitted(say('booking.likely', { cause, chance }), say('booking.likely', { cause: brief, chance }));
  const plain = capital(say('booking.cause.bring', { cause, chance, parts }));
  return fitted(say('booking.likely.bring', { cause, chance, parts }), plain, say('booking.likely.bring', { cause: brief, chance, parts }), say('booking.likely.short', { cause: brief, parts }), say('booking.bring', { parts }));
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const DAY = 86_400_000;

/** The stretches that suit the café, in a few words. */
export const suitsText = (show: Show, suits: readonly Span[]): string => {
  const { say, reader } = show;
  const [first, second] = suits;
  if (!first) return say('booking.suits.ask');
  if (first.end - first.start >= DAY) return say('booking.suits.any');
  const either = (texts: readonly string[]): string => new Intl.ListFormat(reader.locale === 'en' ? 'en-GB' : reader.locale, { type: 'disjunction' }).format(texts);
  const sameHours = second !== undefined && hoursText(first, show) === hoursText(second, show);
  if (sameHours || !second || sameSpan(first, second)) return say('booking.suits.days', { days: either(suits.slice(0, 2).map(({ start }) => dayName(start, show))), hours: hoursText(first, show) });
  return either(suits.slice(0, 2).map((span) => say('booking.suits.one', { day: dayName(span.start, show), hours: hoursText(span, show) })));
};
