import { shortened } from '../words/format.ts';
import type { Say } from '../words/catalogue.ts';
import { dateAt } from '../time/wall-time.ts';
import { toDay, type LocalDate } from '../time/local-date.ts';
import { readExceptions, writeExceptions } from './calendar.ts';
import { isOneOf } from './fold.ts';
import type { HoursException } from './hours.ts';
import { parseSpans } from './hours-text.ts';
import { parseDates } from './parse-dates.ts';
import { doorsOf } from './read-hours.ts';
import { known, unread, type Asked, type Reading } from './reading.ts';

const MOST = 40;

/** One entry: `24-26 dec closed`, `closed tomorrow`, `24 dec 8-14`. */
const exceptionOf = (entry: string, today: LocalDate, locale: string, closed: string): HoursException | undefined => {
  const words = entry.trim().split(/\s+/);
  const said = words.length > 1 && isOneOf(words[0] ?? '', closed) ? [...words.slice(1), words[0] ?? ''] : words;
  for (let cut = said.length; cut >= 1; cut--) {
    const dates = parseDates(said.slice(0, cut).join(' '), today, locale);
    const rest = said.slice(cut).join(' ');
    if (!dates) continue;
    if (rest === '' || isOneOf(rest, closed)) return { kind: 'closed', from: dates.from, to: dates.to };
    const hours = parseSpans(rest, doorsOf(locale));
    if (hours.ok && dates.from === dates.to) return hours.spans.length === 0 ? { kind: 'closed', from: dates.from, to: dates.to } : { kind: 'open', date: dates.from, spans: hours.spans };
  }
  return undefined;
};

/** Those of them that are not over yet. */
const stillAhead = (exceptions: readonly HoursException[], today: LocalDate): readonly HoursException[] => exceptions.filter((each) => (each.kind === 'open' ? each.date : each.to) >= today);

const startOf = (each: HoursException): LocalDate => (each.kind === 'open' ? each.date : each.from);

/** A day with hours of its own that was said later to be closed, or to have others, is left out. */
const isOutdone = (each: HoursException, after: readonly HoursException[]): boolean =>
  each.kind === 'open' && after.some((later) => (later.kind === 'open' ? later.date === each.date : later.from <= each.date && each.date <= later.to));

/** By date, at one date the closed days first: of two that cover a day the later one counts. */
const byDate = (a: HoursException, b: HoursException): number => (startOf(a) === startOf(b) ? Number(a.kind === 'open') - Number(b.kind === 'open') : startOf(a) < startOf(b) ? -1 : 1);

type Closed = Extract<HoursException, { readonly kind: 'closed' }>;

/** Closed days that touch or overlap become one. */
const joined = (closed: readonly Closed[]): readonly Closed[] =>
  closed.toSorted(byDate).reduce<readonly Closed[]>((done, each) => {
    const last = done.at(-1);
    return last === undefined || toDay(each.from) > toDay(last.to) + 1 ? [...done, each] : [...done.slice(0, -1), { ...last, to: each.to > last.to ? each.to : last.to }];
  }, []);

/** In order, so that they can be read at a glance. */
const inOrder = (exceptions: readonly HoursException[]): readonly HoursException[] => {
  const left = exceptions.filter((each, i) => !isOutdone(each, exceptions.slice(i + 1)));
  return [...joined(left.filter((each) => each.kind === 'closed')), ...left.filter((each) => each.kind === 'open')].toSorted(byDate);
};

/** Dates with other hours, added to those known; "none" takes all away. What is over is dropped. */
export const readClosures = (text: string, { house, now, locale }: Asked, say: Say): Reading => {
  if (isOneOf(text, say('cafe.words.none'))) return known(writeExceptions([]));
  const today = dateAt(now, house.cafe.zone);
  const entries = text.split(/[;\n]+/).filter((entry) => entry.trim() !== '');
  const added = entries.map((entry) => ({ entry, exception: exceptionOf(entry, today, locale, say('cafe.words.closed')) }));
  const failed = added.find(({ exception }) => exception === undefined);
  if (failed || added.length === 0) return unread('dates', { at: shortened(failed?.entry.trim() ?? '', 16) });
  const all = [...stillAhead(readExceptions(house.cafe.exceptions), today), ...added.flatMap(({ exception }) => (exception ? [exception] : []))];
  return known(writeExceptions(inOrder(all).slice(0, MOST)));
};
