import { encodePress, type Press } from '../chat/press.ts';
import { isChoice, plain, type Message, type Text } from '../chat/message.ts';
import { personId } from '../chat/who.ts';
import { placeName, type Scenario } from './scenario.ts';

/** Something that can be chosen by its number. `value` for an entry of a list. */
export type Chooser = { readonly label: string; readonly press: Press; readonly value?: string; readonly many?: boolean };

const listOf = (from: 'people' | 'roles' | 'places', scenario: Scenario): readonly { value: string; label: string }[] => {
  switch (from) {
    case 'people':
      return Object.entries(scenario.people).map(([value, person]) => ({ value: personId(value), label: person.name }));
    case 'roles':
      return Object.entries(scenario.roles).map(([value, label]) => ({ value, label: `role "${label}"` }));
    case 'places':
      return Object.entries(scenario.channels).map(([value, place]) => ({ value: `c.${value}`, label: `#${place.name}` }));
  }
};

/** Everything on the message one can choose, in the order it is numbered. */
export const choosersOf = (message: Message, scenario: Scenario): readonly Chooser[] =>
  (message.rows ?? []).flatMap((row): readonly Chooser[] => {
    if (!isChoice(row)) return row.flatMap((button) => ('press' in button ? [{ label: button.label, press: button.press }] : []));
    const options = typeof row.from === 'string' ? listOf(row.from, scenario) : row.from;
    return options.map((option) => ({ label: option.label, press: row.press, value: option.value, many: (row.many?.most ?? 1) > 1 }));
  });

/** Places by their name, as a channel is written. */
const named = (text: Text, scenario: Scenario): string => (typeof text === 'string' ? text : text.map((part) => (typeof part === 'string' ? part : 'name' in part ? part.name : placeName(scenario, part.place))).join(''));

const wrapped = (parts: readonly string[], width: number): readonly string[] => {
  const lines: string[] = [];
  for (const part of parts) {
    const last = lines.at(-1);
    if (last !== undefined && `${last}  ${part}`.length <= width) lines[lines.length - 1] = `${last}  ${part}`;
    else lines.push(part);
  }
  return lines;
};

/** The message as lines for a terminal: text, pictures and papers by name, choices with their numbers. */
export const renderMessage = (message: Message, scenario: Scenario, saved: ReadonlyMap<string, string> = new Map()): readonly string[] => [
  ...(message.title === undefined ? [] : [named(message.title, scenario)]),
  ...message.lines.map((each) => named(each.text, scenario)),
  ...(message.pictures ?? []).map((picture) => `[picture ${saved.get(picture.name) ?? picture.name}: ${picture.alt}]`),
  ...(message.files ?? []).map((file) => `[file ${saved.get(file.name) ?? file.name}]`),
  ...(message.rows ?? []).flatMap((row) => (isChoice(row) ? [row.ask] : row.flatMap((button) => ('link' in button ? [`${button.label}: ${button.link}`] : [])))),
  ...wrapped(choosersOf(message, scenario).map(({ label }, i) => `(${i + 1}) ${label}`), 74),
];

/** Same words, same presses: how the terminal's own history is searched. */
export const sameMessage = (a: Message, b: Message, scenario: Scenario): boolean => {
  const textOf = (message: Message): string => [...message.lines.map((each) => plain(each.text)), ...choosersOf(message, scenario).map(({ press, value }) => encodePress(press) + (value ?? ''))].join('\n');
  return textOf(a) === textOf(b);
};
