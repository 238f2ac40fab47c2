import { asked, type Asked } from './asked.ts';
import { findCommand, giveCommand, type Options } from './command-giving.ts';
import { chosenValues, fillForm, type Answers, type FileGiven } from './form-filling.ts';
import type { Inside } from './inside.ts';
import { resolvedWire, startInteraction } from './interaction-wire.ts';
import type { Entry, OpenForm } from './journal.ts';
import { namedIn } from './mentions.ts';
import { addMessage, changeMessage, removeMessage, setReaction } from './messages.ts';
import { has, may } from './permissions.ts';
import { buttonNamed, selectNamed } from './seen.ts';
import { directChannel, messageById, messagesOf, userNamed, type Attachment, type Channel, type Message, type User } from './world.ts';
import type { Part } from './check-components.ts';

const SILENT = 1 << 12;
export type Where = Pick<Channel, 'id'>;
export type SayOptions = { readonly replyTo?: Message; readonly ping?: boolean; readonly files?: readonly FileGiven[] };
export type Said = {
  readonly message: Message;
  /** The n-th (from 1) message the bot writes in that place afterwards. */
  readonly answer: (n?: number) => Promise<Message>;
};
/** `old`: the finger meets the message as it was in the snapshot, not as it is now. */
export type PressOptions = { readonly old?: boolean };
export type Person = {
  readonly id: string;
  readonly name: string;
  readonly user: User;
  readonly direct: () => Channel;
  /** What stands on this person's screen there, oldest first, private answers included. */
  readonly screen: (where: Where) => readonly Message[];
  /** The bot's messages for which this person's telephone rang, oldest first. */
  readonly rang: () => readonly Message[];
  readonly say: (where: Where, text: string, options?: SayOptions) => Said;
  readonly edit: (message: Message, text: string) => Message;
  readonly erase: (message: Message) => void;
  readonly react: (message: Message, emoji: string) => void;
  readonly unreact: (message: Message, emoji: string) => void;
  readonly press: (message: Message, labelOrId: string, options?: PressOptions) => Asked;
  readonly pick: (message: Message, values: readonly string[], options?: PressOptions & { readonly which?: string }) => Asked;
  readonly submit: (form: OpenForm, answers: Answers) => Asked;
  readonly command: (where: Where, words: string, options?: Options) => Asked;
  /** Half-typed: `focused` names the option being typed. */
  readonly autocomplete: (where: Where, words: string, options: Options, focused: string) => Asked;
  readonly messageCommand: (name: string, message: Message) => Asked;
};

export function person(inside: Inside, user: User): Person {
  const { world, journal } = inside;
  const place = (where: Where): Channel => {
    const channel = world.channels.get(where.id);
    if (!channel) throw new Error(`the double knows no channel ${where.id}`);
    if (!has(world, channel, user.id, may.ViewChannel)) throw new Error(`${user.name} cannot see ${channel.name}`);
    return channel;
  };
  const now = (message: Message): Message => {
    if (message.onlyFor !== undefined && message.onlyFor !== user.id) throw new Error(`${user.name} cannot see that message`);
    const found = messageById(world, message.channelId, message.id);
    if (!found) throw new Error('that message is gone');
    return found;
  };
  const keep = (file: FileGiven): Attachment => {
    const kept = { id: world.newId(), filename: file.name, contentType: file.type ?? 'application/octet-stream', bytes: file.bytes };
    inside.interactions.files.set(kept.id, kept);
    return kept;
  };
  const start = (kind: 'command' | 'press' | 'choices' | 'form', channel: Channel, data: Record<string, unknown>, on?: Message): Asked => {
    const since = journal.mark();
    return asked(inside, startInteraction(inside, kind, user.id, channel, data, on), since);
  };
  const touch = (message: Message, part: Part, values?: readonly string[]): Asked => {
    const channel = place({ id: message.channelId });
    if (channel.thread?.archived) throw new Error(`nothing can be pressed in ${channel.name}: it is archived`);
    const entity = values !== undefined && part['type'] !== 3;
    const resolved = entity ? { resolved: resolvedWire(world, channel, user.id, { ids: values, files: [], messages: [] }) } : {};
    const data = { id: part['id'], custom_id: part['custom_id'], component_type: part['type'], ...(values === undefined ? {} : { values, ...resolved }) };
    return start('press', channel, data, message);
  };
  const say = (where: Where, text: string, options: SayOptions = {}): Said => {
    const channel = place(where);
    if (channel.thread?.archived && !channel.thread.locked) channel.thread.archived = false;
    const bits = channel.thread ? may.SendMessagesInThreads : may.SendMessages;
    if (!has(world, channel, user.id, bits) || channel.thread?.locked) throw new Error(`${user.name} cannot write in ${channel.name}`);
    const since = journal.mark();
    const message = addMessage(inside, channel, spoken(inside, channel, user, text, options, keep));
    return { message, answer: (n = 1) => nthFromBot(inside, since, channel.id, n) };
  };
  return {
    id: user.id, name: user.name, user, say,
    direct: () => directChannel(world, user.id),
    screen: (where) => [...messagesOf(world, place(where).id).values()].filter((message) => message.onlyFor === undefined || message.onlyFor === user.id),
    rang: () => journal.entries.flatMap((entry) => (entry.kind === 'message created' && rings(inside, user, entry.message) ? [entry.message] : [])),
    edit: (message, text) => changeMessage(inside, place({ id: message.channelId }), { ...now(message), content: text, editedAt: world.clock.now() }),
    erase: (message) => removeMessage(inside, place({ id: message.channelId }), now(message)),
    react: (message, emoji) => setReaction(inside, place({ id: message.channelId }), now(message), user.id, emoji, true),
    unreact: (message, emoji) => setReaction(inside, place({ id: message.channelId }), now(message), user.id, emoji, false),
    press: (message, name, options = {}) => touch(message, buttonNamed(options.old ? message : now(message), name)),
    pick: (message, values, options = {}) => {
      const part = selectNamed(options.old ? message : now(message), options.which);
      if (values.length < Number(part['min_values'] ?? 1) || values.length > Number(part['max_values'] ?? 1)) throw new Error(`that select does not take ${values.length}`);
      return touch(message, part, part['type'] === 3 ? chosenValues(part, values) : values);
    },
    submit: (form, answers) => {
      if (form.byId !== user.id) throw new Error(`that form is not on ${user.name}'s screen`);
      const from = inside.interactions.all.get(form.interactionId);
      const channel = place({ id: from?.channelId ?? '' });
      const filled = fillForm(form, answers, keep);
      const resolved = resolvedWire(world, channel, user.id, { ids: filled.ids, files: filled.files, messages: [] });
      const on = from?.onMessageId === undefined ? undefined : messageById(world, channel.id, from.onMessageId);
      return start('form', channel, { custom_id: form.customId, components: filled.components, resolved }, on);
    },
    command: (where, words, options = {}) => {
      const channel = place(where);
      const { data, ids, files } = giveCommand(world, channel, user.id, words, options, keep);
      return start('command', channel, { ...data, resolved: resolvedWire(world, channel, user.id, { ids, files, messages: [] }) });
    },
    autocomplete: (where, words, options, focused) => {
      const channel = place(where);
      return start('choices', channel, giveCommand(world, channel, user.id, words, options, keep, focused).data);
    },
    messageCommand: (name, message) => {
      const channel = place({ id: message.channelId });
      const command = findCommand(world, channel, user.id, name, 3);
      const resolved = resolvedWire(world, channel, user.id, { ids: [], files: [], messages: [now(message)] });
      return start('command', channel, { id: command.id, name, type: 3, target_id: message.id, resolved });
    },
  };
}

/** Direct messages ring, and pings by name, by role or to everybody; a silent message never does. */
function rings(inside: Inside, user: User, message: Message): boolean {
  const { world } = inside;
  if (message.authorId !== world.bot.userId || (message.flags & SILENT) !== 0) return false;
  if (world.channels.get(message.channelId)?.recipientId === user.id) return true;
  const mine = message.guildId === undefined ? undefined : world.guilds.get(message.guildId)?.members.get(user.id);
  if (!mine) return false;
  return message.pinged.everyone || message.pinged.users.includes(user.id) || message.pinged.roles.some((id) => mine.roles.includes(id));
}

function spoken(inside: Inside, channel: Channel, user: User, text: string, options: SayOptions, keep: (file: FileGiven) => Attachment): Message {
  const { world } = inside;
  const named = namedIn(text);
  const target = options.replyTo;
  const users = target && (options.ping ?? true) ? [...new Set([...named.users, target.authorId])] : named.users;
  const mentions = { ...named, users: users.filter((id) => world.users.has(id)) };
  return {
    id: world.newId(), channelId: channel.id, authorId: userNamed(world, user.id).id, type: target ? 19 : 0, content: text, embeds: [], components: [],
    attachments: (options.files ?? []).map(keep), flags: 0, mentions, pinged: mentions, createdAt: world.clock.now(), reactions: [],
    ...(channel.guildId === undefined ? {} : { guildId: channel.guildId }),
    ...(target ? { replyTo: { channelId: target.channelId, messageId: target.id } } : {}),
  };
}

async function nthFromBot(inside: Inside, since: number, channelId: string, n: number): Promise<Message> {
  const seen = new Set<string>();
  const fits = (entry: Entry): entry is Entry & { kind: 'message created' } => {
    if (entry.kind !== 'message created' || entry.message.channelId !== channelId || entry.message.authorId !== inside.world.bot.userId) return false;
    return seen.add(entry.message.id).size >= n;
  };
  return (await inside.journal.until(since, `message ${n} of the bot`, fits)).message;
}
