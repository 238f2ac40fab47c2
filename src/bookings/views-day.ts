import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { shortened } from '../words/format.ts';
import { instant } from '../time/instant.ts';
import { fitted, label, whenLabel, type Show } from './show.ts';

/** A visit as a line of the day. */
export type DayVisit = {
  readonly id: string;
  readonly show: Show;
  readonly cafe: string;
  /** Null until it is theirs. */
  readonly address: string | null;
  readonly what: string;
  readonly state: string;
  readonly startsAt: number | null;
  /** What it likely is, and whom to telephone; null until it is theirs. */
  readonly likely: string | null;
  readonly contact: string | null;
  /** The reader is its technician; for everyone else it is the café's. */
  readonly mine: boolean;
};

const MOST_LINES = 3;
const MOST_LABEL = 60;

const visitLine = ({ show, cafe, address, what, state, startsAt }: DayVisit): string => {
  const { say } = show;
  if (startsAt === null) return fitted(say('booking.visits.open', { what, where: cafe, state: say(`booking.state.${state.replaceAll(' ', '-')}`) }));
  const when = whenLabel(instant(startsAt), show);
  return fitted(...(address === null ? [] : [say('booking.visits.one', { when, what, where: address })]), say('booking.visits.one', { when, what, where: cafe }), say('booking.visits.short', { when, where: cafe }));
};

/** The coming visits in their order, a page of three, each to be opened. */
export const dayMessage = (show: Show, visits: readonly DayVisit[], page: number, tools: readonly (readonly Button[])[]): Message => {
  const { say } = show;
  if (visits.length === 0) return message([say('booking.visits.none')], ...tools);
  const from = page * MOST_LINES < visits.length ? page * MOST_LINES : 0;
  const shown = visits.slice(from, from + MOST_LINES);
  const head = say('booking.visits.head', { count: visits.length });
  const open = { ask: say('booking.visits.pick'), press: press('booking.open'), from: visits.slice(from, from + 25).map((visit) => ({ value: visit.id, label: shortened(visitLine(visit), MOST_LABEL) })) };
  const more = visits.length > MOST_LINES ? [button(say('booking.page.more'), press('booking.visits', String(from + MOST_LINES < visits.length ? page + 1 : 0)))] : [];
  // One visit leaves room for what it is and whom to telephone; of several, opening one shows it.
  const [only] = visits.length === 1 ? visits : [];
  const beside = only === undefined ? [] : [only.likely, only.contact].filter((text) => text !== null);
  return message([line(head, 'quiet'), ...shown.map(visitLine), ...beside], open, ...(more.length > 0 ? [more] : []), ...tools);
};

/** One visit of several, with what it likely is and whom to telephone, and on to the next. */
export const walkMessage = (show: Show, visits: readonly DayVisit[], at: number, tools: readonly Button[]): Message => {
  const { say } = show;
  const place = at >= 0 && at < visits.length ? at : 0;
  const visit = visits[place];
  if (!visit) return message([say('booking.visits.none')]);
  const beside = [visit.likely, visit.contact].filter((text) => text !== null);
  return message(
    [line(say('booking.visits.nth', { number: place + 1, count: visits.length }), 'quiet'), line(visitLine(visit), 'strong'), ...beside],
    [button(say('booking.button.open-it'), press('booking.open', visit.id)), ...(visits.length > 1 ? [button(say('booking.button.next-visit'), press('booking.walk', String((place + 1) % visits.length)))] : [])],
    ...(tools.length > 0 ? [tools] : []),
  );
};

export const toolButton = ({ say }: Show, key: string, kind: string, ...ids: readonly string[]): Button => button(label(say(key)), press(kind, ...ids));
