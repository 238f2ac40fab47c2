import type { Inside } from './inside.ts';
import { guildCreateWire, channelWire, roleWire, type Wire } from './wire-places.ts';
import { BOT_WISH, EVERYONE } from './permissions.ts';
import { INTENT } from './gateway.ts';
import { person, type Person } from './person.ts';
import type { Channel, Guild, Message, Role } from './world.ts';
import { messagesOf } from './world.ts';

/** A place of the café: what a test sets up, and what it may take away. */
export type Place = {
  readonly guild: Guild;
  readonly owner: Person;
  readonly channel: (name: string) => Channel;
  readonly role: (name: string, options?: { readonly permissions?: bigint; readonly mentionable?: boolean }) => Role;
  /** A new person who is a member. */
  readonly person: (name: string, roles?: readonly Role[], locale?: string) => Person;
  readonly join: (who: Person, roles?: readonly Role[]) => void;
  readonly leave: (who: Person) => void;
  readonly setRoles: (who: Person, roles: readonly Role[]) => void;
  /** Takes rights from the bot in one channel, or gives them back with `allow`. */
  readonly denyBot: (channel: Channel, bits: bigint) => void;
  readonly allowBot: (channel: Channel, bits: bigint) => void;
  readonly removeChannel: (channel: Channel) => void;
  readonly invite: () => void;
  readonly kickBot: () => void;
  /** The platform loses that guild for a while; the bot still belongs to it. */
  readonly outage: () => void;
  readonly restore: () => void;
  readonly archive: (thread: Channel, locked: boolean) => void;
  /** Oldest first, private ones left out. */
  readonly messages: (channel: Pick<Channel, 'id'>) => readonly Message[];
};

export function newPerson(inside: Inside, name: string, locale = 'en-US'): Person {
  const user = { id: inside.world.newId(), name, bot: false, locale, door: 'open' as const };
  inside.world.users.set(user.id, user);
  return person(inside, user);
}

function newGuild(inside: Inside, name: string, ownerId: string): Guild {
  const { world } = inside;
  const id = world.newId();
  const everyone: Role = { id, name: '@everyone', permissions: EVERYONE, mentionable: false, position: 0 };
  const guild: Guild = { id, name, ownerId, locale: 'en-US', roles: new Map([[id, everyone]]), members: new Map(), available: true };
  guild.members.set(ownerId, { userId: ownerId, roles: [], joinedAt: world.clock.now() });
  world.guilds.set(id, guild);
  return guild;
}

function welcomeBot(inside: Inside, guild: Guild): void {
  const { world } = inside;
  const role: Role = { id: world.newId(), name: 'Grouphand', permissions: BOT_WISH, mentionable: false, position: 1 };
  guild.roles.set(role.id, role);
  guild.members.set(world.bot.userId, { userId: world.bot.userId, roles: [role.id], joinedAt: world.clock.now() });
  inside.gateway.dispatch('GUILD_CREATE', guildCreateWire(world, guild), INTENT.guilds);
}

function setRule(inside: Inside, channel: Channel, bits: bigint, allow: boolean): void {
  const { world } = inside;
  let rule = channel.overwrites.find((one) => one.id === world.bot.userId);
  if (!rule) channel.overwrites.push((rule = { id: world.bot.userId, kind: 'member', allow: 0n, deny: 0n }));
  rule.deny = allow ? rule.deny & ~bits : rule.deny | bits;
  inside.gateway.dispatch('CHANNEL_UPDATE', channelWire(world, channel), INTENT.guilds);
}

export function newPlace(inside: Inside, name: string, ownerName: string): Place {
  const { world } = inside;
  const owner = newPerson(inside, ownerName);
  const guild = newGuild(inside, name, owner.id);
  const tell = (t: string, d: Wire): void => inside.gateway.dispatch(t, d, INTENT.guilds);
  const join = (who: Person, roles: readonly Role[] = []): void =>
    void guild.members.set(who.id, { userId: who.id, roles: roles.map((role) => role.id), joinedAt: world.clock.now() });
  welcomeBot(inside, guild);
  return {
    guild, owner, join,
    channel: (channelName) => {
      const channel: Channel = { id: world.newId(), type: 0, name: channelName, guildId: guild.id, overwrites: [] };
      world.channels.set(channel.id, channel);
      tell('CHANNEL_CREATE', channelWire(world, channel));
      return channel;
    },
    role: (roleName, options = {}) => {
      const role: Role = { id: world.newId(), name: roleName, permissions: options.permissions ?? 0n, mentionable: options.mentionable ?? false, position: guild.roles.size };
      guild.roles.set(role.id, role);
      tell('GUILD_ROLE_CREATE', { guild_id: guild.id, role: roleWire(role) });
      return role;
    },
    person: (personName, roles = [], locale = 'en-US') => {
      const who = newPerson(inside, personName, locale);
      join(who, roles);
      return who;
    },
    leave: (who) => void guild.members.delete(who.id),
    setRoles: (who, roles) => {
      const member = guild.members.get(who.id);
      if (!member) throw new Error(`${who.name} is not in ${guild.name}`);
      member.roles = roles.map((role) => role.id);
    },
    denyBot: (channel, bits) => setRule(inside, channel, bits, false),
    allowBot: (channel, bits) => setRule(inside, channel, bits, true),
    removeChannel: (channel) => {
      world.channels.delete(channel.id);
      world.messages.delete(channel.id);
      tell('CHANNEL_DELETE', channelWire(world, channel));
    },
    invite: () => welcomeBot(inside, guild),
    kickBot: () => {
      guild.members.delete(world.bot.userId);
      tell('GUILD_DELETE', { id: guild.id });
    },
    outage: () => {
      guild.available = false;
      tell('GUILD_DELETE', { id: guild.id, unavailable: true });
    },
    restore: () => {
      guild.available = true;
      tell('GUILD_CREATE', guildCreateWire(world, guild));
    },
    archive: (channel, locked) => {
      if (!channel.thread) throw new Error(`${channel.name} is no thread`);
      channel.thread.archived = true;
      channel.thread.locked = locked;
      tell('THREAD_UPDATE', channelWire(world, channel));
    },
    messages: (channel) => [...messagesOf(world, channel.id).values()].filter((message) => message.onlyFor === undefined),
  };
}

