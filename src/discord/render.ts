import {
  ButtonStyle, ChannelType, ComponentType, MessageFlags,
  type APIActionRowComponent, type APIAllowedMentions, type APIButtonComponent, type APIComponentInMessageActionRow, type APISelectMenuComponent, type APISelectMenuOption,
} from 'discord.js';
import { isChoice, type Button, type Choice, type Message, type Option, type Picture } from '../chat/message.ts';
import { encodePress } from '../chat/press.ts';
import { cutTo, markupOf } from './markup.ts';

const MOST_TEXT = 2000;
/** The platform takes at most so many names to be called in one message. */
const MOST_CALLED = 100;

export type Row = APIActionRowComponent<APIComponentInMessageActionRow>;
export type Paper = { readonly name: string; readonly data: Uint8Array };

/** The body of a message without what belongs to one sending only. `attachments` names what stands in `files`, in order. */
export type Body = {
  readonly content: string;
  readonly components: readonly Row[];
  readonly attachments: readonly { readonly id: string; readonly filename: string; readonly description?: string }[];
  readonly allowed_mentions: APIAllowedMentions;
};
export type Rendered = { readonly body: Body; readonly files: readonly Paper[] };

const STYLES = { main: ButtonStyle.Primary, plain: ButtonStyle.Secondary, danger: ButtonStyle.Danger } as const;

const buttonOf = (button: Button): APIButtonComponent =>
  'link' in button
    ? { type: ComponentType.Button, style: ButtonStyle.Link, label: button.label, url: button.link }
    : { type: ComponentType.Button, style: STYLES[button.weight ?? 'plain'], label: button.label, custom_id: encodePress(button.press) };

type Bounds = { readonly min_values: number; readonly max_values: number };
const KINDS = { people: ComponentType.UserSelect, roles: ComponentType.RoleSelect, places: ComponentType.ChannelSelect } as const;

/** Entries of a list, in messages and in forms. */
export const entriesOf = (options: readonly Option[]): APISelectMenuOption[] => options.map(({ value, label, hint, chosen }) => ({ value, label, ...(hint ? { description: hint } : {}), ...(chosen ? { default: true } : {}) }));

const selectOf = (from: Choice['from'], customId: string, bounds: Bounds, placeholder: string): APISelectMenuComponent => {
  const common = { custom_id: customId, ...bounds, placeholder };
  if (from === 'places') return { type: KINDS.places, ...common, channel_types: [ChannelType.GuildText] };
  if (from === 'people') return { type: KINDS.people, ...common };
  if (from === 'roles') return { type: KINDS.roles, ...common };
  return { type: ComponentType.StringSelect, ...common, max_values: Math.min(bounds.max_values, from.length), options: entriesOf(from) };
};

const choiceOf = ({ from, press, many, ask }: Choice): APISelectMenuComponent => selectOf(from, encodePress(press), { min_values: many?.least ?? 1, max_values: many?.most ?? 1 }, ask);

export const rowsOf = (message: Message): readonly Row[] =>
  (message.rows ?? []).map((row): Row => ({ type: ComponentType.ActionRow, components: isChoice(row) ? [choiceOf(row)] : row.map(buttonOf) }));

/** What identifies a row when it is looked for again: its custom ids. */
export const idsIn = (rows: readonly Row[]): readonly string[] => rows.flatMap((row) => row.components.flatMap((part) => ('custom_id' in part ? [part.custom_id] : [])));

type Drawn = Paper & { readonly alt?: string };

/** Told of a picture that could not be drawn; the message goes out without it, since its text says all. */
export type Undrawn = (name: string, error: unknown) => void;

const pictureOf = async ({ name, alt, draw }: Picture, undrawn: Undrawn): Promise<readonly Drawn[]> => {
  try {
    return [{ name, data: await draw(), alt }];
  } catch (error) {
    undrawn(name, error);
    return [];
  }
};

const papersOf = async (message: Message, undrawn: Undrawn): Promise<readonly Drawn[]> => [
  ...(await Promise.all((message.pictures ?? []).map((picture) => pictureOf(picture, undrawn)))).flat(),
  ...(message.files ?? []).map(({ name, bytes }) => ({ name, data: bytes })),
];

/** Whom a message calls: named at its end, since a telephone rings only for a name in the text. */
export type Called = { readonly people: readonly string[]; readonly roles: readonly string[] };
export const NOBODY: Called = { people: [], roles: [] };

const callLine = ({ people, roles }: Called, text: string): string => {
  const names = [...people.map((id) => `<@${id}>`), ...roles.map((id) => `<@&${id}>`)].filter((name) => !text.includes(name));
  return names.length === 0 ? '' : `\n${names.join(' ')}`;
};

/** The text of a message as it is sent, callers' names included, within the platform's bound. */
export const contentOf = (message: Message, called: Called = NOBODY): string => {
  const text = markupOf(message);
  const call = callLine(called, text);
  return cutTo(text, MOST_TEXT - call.length) + call;
};

/** Was this content made from that message, whoever was called in it? */
export const isContentOf = (content: string, message: Message): boolean => {
  const bare = content.replace(/\n(?:<@&?\d+> ?)+$/, '');
  // The platform takes blanks off both ends.
  return [bare, content].some((each) => each.trim() === contentOf(message).trim());
};

/** Everything a message needs on the wire. Nobody is called but those named in `called`. */
export const render = async (message: Message, undrawn: Undrawn, called: Called = NOBODY): Promise<Rendered> => {
  const papers = await papersOf(message, undrawn);
  const people = called.people.slice(0, MOST_CALLED);
  const roles = called.roles.slice(0, MOST_CALLED);
  return {
    body: {
      content: contentOf(message, { people, roles }),
      components: rowsOf(message),
      attachments: papers.map(({ name, alt }, id) => ({ id: String(id), filename: name, ...(alt ? { description: cutTo(alt, 1024) } : {}) })),
      allowed_mentions: { parse: [], users: [...people], roles: [...roles], replied_user: false },
    },
    files: papers.map(({ name, data }) => ({ name, data })),
  };
};

export const SILENT = MessageFlags.SuppressNotifications;
export const PRIVATE = MessageFlags.Ephemeral;
