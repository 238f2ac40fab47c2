import { plain, type Line, type Message, type Text } from '../chat/message.ts';

/** What a text of ours may hold without becoming markup, a mention or a link with a false face. */
const MARKS = /[\\*_~`|<[]/g;
const AT_START = /^(\s*)(#{1,3}\s|-#\s|[->+]\s?|>>>|\d{1,9}\.\s)/;
/** Only what holds no mark but "_" and ends at a blank: anything else might take a mark of ours into the link. */
const LINK = /https?:\/\/[\w\-./?=&%#+:,;@!$]*[\w\-/=&%#+](?=\s|$)/g;

const escapeStart = (line: string): string => line.replace(AT_START, (_all, space: string, mark: string) => `${space}${mark.replace(/^(\d*)/, '$1\\')}`);

/** An address with marks in it is taken apart at its colon: left whole, the marks put before them would show. */
const escapeWords = (words: string): string => words.replace(MARKS, '\\$&').replace(/(https?):(?=\/\/)/g, '$1\\:').replace(/@(?=everyone|here)/g, '@\u200b');

/** One line of plain text, written so that the platform shows exactly it. Addresses stay as they are, so that they can be followed. */
export const escaped = (line: string): string => {
  const links = line.match(LINK) ?? [];
  const between = line.split(LINK).map(escapeWords);
  return escapeStart(between.map((words, i) => words + (links[i] ?? '')).join(''));
};

const written = (text: Text): string => {
  if (typeof text === 'string') return text.split('\n').map(escaped).join('\n');
  return escapeStart(text.map((part) => (typeof part === 'string' ? escapeWords(part) : 'person' in part ? `<@${part.person}>` : `<#${part.place.slice(2)}>`)).join(''));
};

const toned = ({ text, tone }: Line): string => {
  const words = written(text);
  if (plain(text).trim() === '') return words;
  if (tone === 'quiet') return words.split('\n').map((each) => `-# ${each}`).join('\n');
  return tone === 'strong' || tone === 'danger' ? words.split('\n').map((each) => `**${each}**`).join('\n') : words;
};

/** The whole text of a message in the platform's markup, title first. */
export const markupOf = (message: Message): string =>
  [...(message.title === undefined ? [] : [`**${written(message.title)}**`]), ...message.lines.map(toned)].join('\n');

/** At most `most` UTF-16 units, cut where no mark is torn apart. */
export const cutTo = (text: string, most: number): string => {
  if (text.length <= most) return text;
  const cut = text.slice(0, most - 1).replace(/\\+$/, '').replace(/<[^<>\s]*$/, '');
  return `${cut.toWellFormed().replace(/\ufffd$/, '')}…`;
};

export type Names = { readonly self: string; readonly person: (id: string) => string | undefined };

/** What a person typed, as words: mentions by name, our own left out, the platform's emojis by theirs. */
export const wordsFrom = (content: string, names: Names): string =>
  content
    .replace(/<@!?(\d+)>/g, (_all, id: string) => (id === names.self ? ' ' : (names.person(id) ?? '')))
    .replace(/<a?:(\w+):\d+>/g, ':$1:')
    .replace(/<(?:#|@&)\d+>/g, ' ')
    .replace(/<\/([^:>]+):\d+>/g, '/$1')
    .replace(/ {2,}/g, ' ')
    .trim();
