import { PermissionFlagsBits, type APIInteractionGuildMember, type BaseInteraction, type Guild, type GuildMember, type User } from 'discord.js';
import { channel, direct, personId, type Person, type PlaceId } from '../chat/who.ts';
import { shortened } from '../words/format.ts';

const MOST_NAME = 32;

const nameOf = (user: User, nick: string | null | undefined): string => {
  const name = shortened((nick ?? user.displayName).replace(/\s+/g, ' ').trim(), MOST_NAME);
  return name === '' ? user.username : name;
};

/** Somebody in direct messages: no roles, nothing to manage. */
export const alone = (user: User): Person => ({ id: personId(user.id), name: nameOf(user, undefined), roles: [], manages: false });

/** Somebody in a server, as the server knows them now. The role everybody has is left out. */
export const memberAs = (member: GuildMember): Person => ({
  id: personId(member.id),
  name: nameOf(member.user, member.nickname),
  roles: [...member.roles.cache.keys()].filter((id) => id !== member.guild.id),
  manages: member.permissions.has(PermissionFlagsBits.ManageGuild),
});

const isWhole = (member: GuildMember | APIInteractionGuildMember): member is GuildMember => !Array.isArray(member.roles);

/** Who pressed or commanded, with the rights told in the event itself. */
export const askerOf = ({ user, member, memberPermissions }: BaseInteraction): Person => {
  if (!member) return alone(user);
  return {
    id: personId(user.id),
    name: nameOf(user, isWhole(member) ? member.nickname : member.nick),
    roles: isWhole(member) ? [...member.roles.cache.keys()].filter((id) => id !== member.guild.id) : member.roles,
    manages: memberPermissions?.has(PermissionFlagsBits.ManageGuild) ?? false,
  };
};

/** The person as a member, asked of the platform where it is not at hand; undefined for someone who left. */
export const memberIn = async (guild: Guild, id: string): Promise<GuildMember | undefined> => {
  try {
    return guild.members.cache.get(id) ?? (await guild.members.fetch(id));
  } catch {
    return undefined;
  }
};

export const placeOf = (guild: string | null | undefined, channelId: string, user: string): PlaceId => (guild ? channel(channelId) : direct(personId(user)));
