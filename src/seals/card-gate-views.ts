import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { clockTime, listed } from '../words/format.ts';
import type { CardRef, Looked } from './card-desk.ts';
import { headOf, type Show } from './card-lines.ts';

const MOST_NAMES = 10;
const MOST_LABEL = 20;

const cut = (label: string): string => (Array.from(label).length <= MOST_LABEL ? label : `${Array.from(label).slice(0, MOST_LABEL - 1).join('')}…`);

/** The ids of a press that opens a card: café, job, group, case, machine. */
export const refIds = (ref: CardRef): readonly string[] => [ref.cafe, ref.job, ref.group === null ? '-' : String(ref.group), ref.caseId ?? '-', ref.machine];

export const to = (kind: string, ref: CardRef, ...more: readonly string[]): Press => press(kind, ...refIds(ref), ...more);

const inRows = (buttons: readonly Button[], size: number): readonly (readonly Button[])[] =>
  Array.from({ length: Math.ceil(buttons.length / size) }, (_, i) => buttons.slice(i * size, (i + 1) * size));

const either = (names: readonly string[], locale: string): string => new Intl.ListFormat(locale === 'en' ? 'en-GB' : locale, { type: 'disjunction' }).format(names);

const readButton = ({ say }: Show, { ref, card }: Looked): Button => button(say('cards.button.read'), press('card.read', ref.cafe, card.job));
const colleague = ({ say }: Show, { ref, card }: Looked): Button => button(say('cards.button.colleague'), press('card.colleague', ref.cafe, card.job));

const lateMessage = (show: Show, looked: Looked, first: string): Message => {
  const { say } = show;
  const { instead, ref } = looked;
  const smaller = instead ? [say('cards.gate.instead', { title: say(`cards.${instead.job}.title`), minutes: instead.minutes })] : [say('cards.gate.instead.none')];
  const start = instead ? [button(say('cards.button.instead'), to('card.start', { ...ref, job: instead.job, group: instead.for === 'group' ? ref.group : null }), 'main')] : [];
  return message([line(first, 'strong'), ...smaller], [...start, readButton(show, looked)]);
};

const notShown = (show: Show, looked: Looked): Message => {
  const { say, reader } = show;
  const marked = looked.shown.filter(({ how }) => how === 'marked').map(({ name }) => name);
  const names = [...new Set(marked.length > 0 ? marked : looked.owners)].slice(0, 3);
  const alone = looked.isOwner && looked.owners.length === 1 && marked.length === 0;
  const second = alone ? say('cards.gate.shown.own') : names.length === 0 ? say('cards.gate.shown.nobody') : say('cards.gate.shown.ask', { names: either(names, reader.locale) });
  const own = looked.isOwner ? [[button(say('cards.button.mark-me'), to('card.mark-me', looked.ref))]] : [];
  return message([line(say('cards.gate.shown'), 'strong'), second], [readButton(show, looked), colleague(show, looked)], ...own);
};

const whoMessage = (show: Show, looked: Looked): Message => {
  const { say } = show;
  const names = looked.shown.filter(({ how }) => how === 'marked').slice(0, MOST_NAMES).map((row) => button(cut(row.name), to('card.who', looked.ref, row.id)));
  if (names.length === 0) return notShown(show, looked);
  return message([line(say('cards.gate.who', { head: headOf(show, looked.card, looked.ref.group) }), 'strong')], ...inRows(names, 3), [button(say('cards.button.someone'), press('card.read', looked.ref.cafe, looked.card.job))]);
};

const beforeMessage = (show: Show, looked: Looked): Message => {
  const { say } = show;
  const { ref, card } = looked;
  return message(
    [line(say('cards.what', { what: say(`cards.${card.job}.what`) }), 'strong'), say('cards.gate.before')],
    [button(say('cards.button.have'), to('card.have', ref), 'main'), button(say('cards.button.show-me'), press('card.read', ref.cafe, card.job))],
    [button(say('cards.button.alone'), press('card.alone', ref.cafe, card.job)), colleague(show, looked)],
  );
};

/** What is in the way of a card, and what can be done about it. */
export const gateMessage = (show: Show, looked: Looked): Message => {
  const { say, reader } = show;
  const { gate, card, ref } = looked;
  const title = say(`cards.${card.job}.title`);
  switch (gate.kind) {
    case 'open':
      return message([line(headOf(show, card, ref.group), 'strong')], [button(say('cards.button.start'), to('card.start', ref), 'main')]);
    case 'stays-off':
      return message([line(say('cards.gate.stays-off'), 'strong'), say('cards.gate.stays-off.who')]);
    case 'not-here':
    case 'not-known':
      return message([line(say(`cards.gate.${gate.kind}`, { title }), 'strong'), say(`cards.${gate.kind}.${gate.fact}`)], [readButton(show, looked)]);
    case 'which-screen':
      return message(
        [line(say('cards.gate.screen', { title }), 'strong'), say('cards.gate.screen.ask')],
        ...inRows((['screw', 'seal', 'block', 'unknown'] as const).map((kind) => button(say(`cards.screen.${kind}`), to('card.screen', ref, kind))), 2),
      );
    case 'which-group':
      return message([line(say('cards.gate.group', { title }), 'strong')], ...inRows(Array.from({ length: looked.groups }, (_, i) => button(say('cards.button.group', { group: i + 1 }), to('card.start', { ...ref, group: i + 1 }))), 2));
    case 'going':
      return message([line(say('cards.gate.going', { name: gate.other.by, time: clockTime(gate.other.since, reader), title }), 'strong'), say('cards.gate.going.ask', { name: gate.other.by })], [button(say('cards.button.mine'), press('card.mine', gate.other.run))]);
    case 'apart': {
      const other = say(`cards.${gate.other.job}.title`);
      return message([line(say('cards.gate.apart', { name: gate.other.by }), 'strong'), say('cards.gate.apart.what', { title: other, group: gate.other.group === null ? 'none' : String(gate.other.group), time: clockTime(gate.other.since, reader) }), say('cards.gate.apart.off')], ...(gate.other.over ? [[button(say('cards.button.whole'), press('card.whole', gate.other.run))]] : []));
    }
    case 'serving':
      return lateMessage(show, looked, say('cards.gate.serving', { title }));
    case 'late':
      return lateMessage(show, looked, say(gate.cooling ? 'cards.gate.late.cooling' : 'cards.gate.late', { title, minutes: gate.needs, hours: Math.ceil(gate.needs / 60), time: clockTime(gate.opens, reader) }));
    case 'not-shown':
      return notShown(show, looked);
    case 'who':
      return whoMessage(show, looked);
    case 'done-before':
      return beforeMessage(show, looked);
  }
};

/** Who was shown a card, for the owner to add to and take from. */
export const marksMessage = (show: Show, looked: Looked, nameless: readonly { readonly id: string; readonly name: string }[]): Message => {
  const { say, reader } = show;
  const { card, ref, shown } = looked;
  const marked = shown.filter(({ how }) => how === 'marked');
  const first = marked.length === 0 ? say('cards.marks.nobody', { title: say(`cards.${card.job}.title`) }) : say('cards.marks', { title: say(`cards.${card.job}.title`), names: listed(marked.slice(0, MOST_NAMES).map(({ name }) => name), reader.locale) });
  return message(
    [first],
    { ask: say('cards.marks.people'), press: press('card.mark', ref.cafe, card.job), many: { least: 1, most: 10 }, from: 'people' },
    ...(nameless.length > 0 ? [{ ask: say('cards.marks.names'), press: press('card.mark-name', ref.cafe, card.job), many: { least: 1, most: Math.min(nameless.length, 25) }, from: nameless.slice(0, 25).map(({ id, name }) => ({ value: id, label: name })) }] : []),
    ...(marked.length > 0 ? [{ ask: say('cards.marks.off'), press: press('card.unmark', ref.cafe, card.job), from: marked.slice(0, 25).map(({ id, name }) => ({ value: id, label: name })) }] : []),
  );
};
