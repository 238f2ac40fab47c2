import type { APIEmbed, APIMessageTopLevelComponent } from 'discord.js';
import type { Clock } from './clock.ts';
import { idMaker } from './ids.ts';

export type User = {
  readonly id: string;
  readonly name: string;
  readonly bot: boolean;
  locale: string;
  /** `closed`: refuses direct messages. */
  door: 'open' | 'closed';
};
export type Role = { readonly id: string; readonly name: string; permissions: bigint; mentionable: boolean; readonly position: number };
export type Member = { readonly userId: string; roles: string[]; readonly joinedAt: number };
export type Guild = {
  readonly id: string;
  readonly name: string;
  readonly ownerId: string;
  locale: string;
  readonly roles: Map<string, Role>;
  readonly members: Map<string, Member>;
  /** False: an outage of that guild; the bot still belongs to it. */
  available: boolean;
};
export type Overwrite = { readonly id: string; readonly kind: 'role' | 'member'; allow: bigint; deny: bigint };
export type Thread = { archived: boolean; locked: boolean; readonly ownerId: string; readonly autoArchive: number };
export type Channel = {
  readonly id: string;
  /** The platform's numbers: 0 text, 1 direct, 11 public thread. */
  readonly type: 0 | 1 | 11;
  name: string;
  readonly guildId?: string;
  readonly parentId?: string;
  readonly recipientId?: string;
  readonly overwrites: Overwrite[];
  readonly thread?: Thread;
};
export type Attachment = {
  readonly id: string;
  readonly filename: string;
  readonly description?: string;
  readonly contentType: string;
  readonly bytes: Uint8Array;
};
export type Reaction = { readonly emoji: string; readonly by: readonly string[] };
export type Mentions = { readonly users: readonly string[]; readonly roles: readonly string[]; readonly everyone: boolean };
/** A snapshot: an edit puts a new one in its place, so a test may keep what it saw before. */
export type Message = {
  readonly id: string;
  readonly channelId: string;
  readonly guildId?: string;
  readonly authorId: string;
  readonly type: number;
  readonly content: string;
  readonly embeds: readonly APIEmbed[];
  readonly components: readonly APIMessageTopLevelComponent[];
  readonly attachments: readonly Attachment[];
  readonly flags: number;
  readonly nonce?: string | number;
  readonly replyTo?: { readonly channelId: string; readonly messageId: string };
  /** Whom the text names. */
  readonly mentions: Mentions;
  /** Whose telephone rings for it: only what allowed_mentions let through, at creation. */
  readonly pinged: Mentions;
  readonly createdAt: number;
  readonly editedAt?: number;
  /** Set when it answers an interaction. */
  readonly interactionId?: string;
  /** Set when only that person sees it. */
  readonly onlyFor?: string;
  readonly reactions: readonly Reaction[];
};
export type Bot = {
  readonly userId: string;
  readonly applicationId: string;
  token: string;
  /** Privileged intents switched on for the application. */
  readonly granted: { messageContent: boolean; members: boolean; presences: boolean };
};
export type Command = Readonly<Record<string, unknown>> & { readonly id: string; readonly name: string; readonly type: number; readonly guildId?: string };
export type World = {
  readonly clock: Clock;
  readonly newId: () => string;
  readonly bot: Bot;
  readonly users: Map<string, User>;
  readonly guilds: Map<string, Guild>;
  readonly channels: Map<string, Channel>;
  /** By channel, then by id. */
  readonly messages: Map<string, Map<string, Message>>;
  /** Keyed by guild id, or `global`. */
  readonly commands: Map<string, readonly Command[]>;
  /** Address of the double without a trailing slash; known once it listens. */
  origin: string;
};

export function newWorld(clock: Clock, token: string, granted: Partial<Bot['granted']>): World {
  const newId = idMaker(clock);
  const userId = newId();
  const bot: Bot = { userId, applicationId: userId, token, granted: { messageContent: false, members: false, presences: false, ...granted } };
  const users = new Map<string, User>([[userId, { id: userId, name: 'grouphand', bot: true, locale: 'en-US', door: 'open' }]]);
  return { clock, newId, bot, users, guilds: new Map(), channels: new Map(), messages: new Map(), commands: new Map(), origin: '' };
}

export const messagesOf = (world: World, channelId: string): Map<string, Message> => {
  const found = world.messages.get(channelId) ?? new Map<string, Message>();
  world.messages.set(channelId, found);
  return found;
};

export const messageById = (world: World, channelId: string, id: string): Message | undefined => world.messages.get(channelId)?.get(id);

export const putMessage = (world: World, message: Message): Message => {
  messagesOf(world, message.channelId).set(message.id, message);
  return message;
};

/** The direct channel between the bot and `userId`; the same one for ever. */
export function directChannel(world: World, userId: string): Channel {
  for (const channel of world.channels.values()) if (channel.recipientId === userId) return channel;
  const channel: Channel = { id: world.newId(), type: 1, name: '', recipientId: userId, overwrites: [] };
  world.channels.set(channel.id, channel);
  return channel;
}

export const shareAGuild = (world: World, userId: string): boolean =>
  [...world.guilds.values()].some((guild) => guild.members.has(userId) && guild.members.has(world.bot.userId));

export const userNamed = (world: World, id: string): User => {
  const user = world.users.get(id);
  if (!user) throw new Error(`the double knows no user ${id}`);
  return user;
};
