import { button, line, message, type Button, type Message, type Text } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId, type PlaceId } from '../chat/who.ts';
import type { Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Say } from '../words/catalogue.ts';
import { clockTime, listed, shortDate, shortened } from '../words/format.ts';
import type { House } from './house.ts';
import type { Tonight } from './needs.ts';
import type { Note } from './question-view.ts';
import { unknownTopics } from './set-up.ts';

export type Ready = { readonly house: House; readonly tonight: Tonight | undefined; readonly now: Instant; readonly at: PlaceId; readonly note?: Note };

/** Stands for the channel in a text until the text is cut there. */
const PLACE = '\u0002';

/** A text in which the café's channel is named where the catalogue has `{place}`. */
export const withPlace = (say: Say, key: string, values: Readonly<Record<string, string>>, place: string | null): Text => {
  const parts = say(key, { ...values, place: PLACE }).split(PLACE);
  return place === null ? parts.join('') : parts.flatMap((part, i) => (i === 0 ? [part] : [{ place: placeId(place) }, part]));
};

/** Tonight, or the day on which it is. */
const isToday = (at: Instant, now: Instant, zone: string): boolean => dateAt(at, zone) === dateAt(now, zone);

/** When something comes, for a text with `{today, select, yes {… {time}} other {… {date} … {time}}}`. */
export const whenValues = (at: Instant, now: Instant, house: House, locale: string): { readonly today: string; readonly time: string; readonly date: string } => {
  const reader = { locale, zone: house.cafe.zone };
  return { today: isToday(at, now, house.cafe.zone) ? 'yes' : 'no', time: clockTime(at, reader), date: shortDate(at, reader) };
};

const groupsText = ({ machines }: House, say: Say, locale: string): string => {
  const [only] = machines;
  if (machines.length !== 1 || !only) return say('cafe.ready.machines', { count: machines.length });
  return say('cafe.ready.groups', { count: only.groups, groups: listed(Array.from({ length: only.groups }, (_, i) => String(i + 1)), locale) });
};

/** As many as fit on one line, the rest counted. */
export const fittingList = (items: readonly string[], more: (count: number) => string, width = 64): string => {
  const all = `${items.join(', ')}.`;
  if (all.length <= width) return all;
  for (let shown = items.length - 1; shown > 0; shown--) {
    const text = `${[...items.slice(0, shown), more(items.length - shown)].join(', ')}.`;
    if (text.length <= width) return text;
  }
  return shortened(all, width);
};

/** `Not known yet: seal sizes, water, prices. One a week will do.` */
export const unknownLine = (house: House, say: Say): readonly string[] => {
  const topics = unknownTopics(house).map((topic) => say(`cafe.topic.${topic}`));
  if (topics.length === 0) return [];
  const text = (shown: number): string => say('cafe.ready.unknown', { topics: topics.slice(0, shown).join(', ') });
  const fit = [3, 2, 1].find((shown) => text(shown).length <= 64) ?? 1;
  return [text(fit)];
};

const startButton = (ready: Ready, say: Say): Button => {
  const { house, tonight, now } = ready;
  const today = tonight !== undefined && isToday(tonight.at, now, house.cafe.zone);
  return button(say(today ? 'cafe.button.startTonight' : 'cafe.button.start'), press('cafe.start', house.cafe.id), 'main');
};

const headOf = ({ house, tonight, now, at }: Ready, say: Say, locale: string): readonly Text[] => {
  if (house.cafe.hours === null || tonight === undefined) return [say(house.cafe.hours === null ? 'cafe.ready.noHours' : 'cafe.ready.noJobs')];
  const values = { ...whenValues(tonight.at, now, house, locale), groups: groupsText(house, say, locale) };
  const head = house.cafe.place === at ? say('cafe.ready.headHere', values) : withPlace(say, 'cafe.ready.head', values, house.cafe.place);
  return [head, fittingList(tonight.jobs, (count) => say('cafe.more', { count }))];
};

/** The set-up's end: what will happen tonight, and what is not known yet. */
export const readyView = (ready: Ready, say: Say, locale: string): Message => {
  const { house, note } = ready;
  const lines = [...(note ? [say(note.key, note.values)] : []), ...headOf(ready, say, locale), ...unknownLine(house, say)].slice(0, 4);
  const { id } = house.cafe;
  return message(
    lines.map((each) => line(each)),
    [startButton(ready, say), button(say('cafe.button.changeJobs'), press('routine.jobs', id)), button(say('cafe.button.showTest'), press('cafe.test', id))],
    [button(say('cafe.button.back'), press('cafe.answer', id, 's', 'ready', 'back')), button(say('cafe.button.leave'), press('cafe.answer', id, 's', 'ready', 'leave'))],
  );
};

/** After the start. With the one thing that must be agreed before it can be of use. */
export const startedView = (house: House, tonight: Tonight | undefined, now: Instant, say: Say, locale: string): Message => {
  const first = tonight === undefined ? say('cafe.started.noList') : say('cafe.started', whenValues(tonight.at, now, house, locale));
  const { id } = house.cafe;
  return message([first, say('cafe.ask.calls')], [button(say('cafe.button.yesCall'), press('cafe.calls', id, 'yes')), button(say('cafe.button.no'), press('cafe.calls', id, 'no'))]);
};

/** What was left and how it goes on. `steps`: answers still to come; 0 for a change that was let be. */
export const leftView = (house: House, steps: number, say: Say): Message =>
  house.cafe.state === 'draft'
    ? message([say('cafe.left.setUp', { count: steps }), say('cafe.left.carryOn')], [button(say('cafe.button.carryOn'), press('cafe.open', house.cafe.id))])
    : message([say('cafe.left.change')], [button(say('cafe.button.changeMore'), press('cafe.open', house.cafe.id))]);
