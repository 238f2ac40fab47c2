import { z } from 'zod';
import { folded } from './cafe/fold.ts';
import type { Cafe } from './cafe/records.ts';
import { button, message, type Message } from './chat/message.ts';
import { press } from './chat/press.ts';
import { shortened } from './words/format.ts';
import type { Say } from './words/catalogue.ts';

export const WHICH = 'which.cafe';

const MOST_BUTTONS = 5;

const schema = z.discriminatedUnion('kind', [z.object({ kind: z.literal('words'), text: z.string() }), z.object({ kind: z.literal('command'), name: z.string(), given: z.record(z.string(), z.string()) })]);

/** What waits until it is known which café it is about. */
export type Waiting = z.infer<typeof schema>;

export const writeWaiting = (waiting: Waiting): string => JSON.stringify(waiting);
export const readWaiting = (text: string): Waiting => schema.parse(JSON.parse(text));

type Named = Pick<Cafe, 'id' | 'name' | 'town'>;

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** The words without the name and the little word before it. */
const without = (text: string, name: string): string =>
  text.replace(new RegExp(`(?:^|[\\s,;:]+)(?:(?:at|in|to|from|for|of|al?|allo|alla|da|dal|di|del|per)\\s+)?(?:(?:the|café|cafe|caffè|il|lo|la)\\s+)*${escaped(name).replace(/\s+/g, '\\s+')}(?=$|[\\s,.;:!?])[,;:]?`, 'iu'), ' ').replace(/\s+(?=[?!.,]|$)/g, '').trim();

/** The one café that the words name, and what else they say; undefined where none or several are named. */
export const namedIn = (text: string, cafes: readonly Named[]): { readonly cafe: string; readonly text: string } | undefined => {
  const plain = ` ${folded(text)} `;
  const found = cafes.filter(({ name }) => folded(name) !== '' && plain.includes(` ${folded(name)} `));
  const [only] = found;
  return only && found.length === 1 ? { cafe: only.id, text: without(text, only.name) } : undefined;
};

/** Which café is meant: a button each, or a list of many. `photos`: what was sent along has to be sent again. */
export const whichMessage = (say: Say, cafes: readonly Named[], photos: boolean): Message => {
  const lines = [say('chat.which'), ...(photos ? [say('chat.which.photos')] : [])];
  if (cafes.length <= MOST_BUTTONS) return message(lines, cafes.map(({ id, name }) => button(shortened(name, 20), press(WHICH, id))));
  return message(lines, { ask: say('cafe.pick.which'), press: press(WHICH), from: cafes.slice(0, 25).map(({ id, name, town }) => ({ value: id, label: shortened(name, 60), ...(town === '' ? {} : { hint: town }) })) });
};
