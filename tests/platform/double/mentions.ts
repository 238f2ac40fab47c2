import type { APIAllowedMentions } from 'discord.js';
import { has, may } from './permissions.ts';
import type { FormError } from './refusal.ts';
import type { Channel, Mentions, World } from './world.ts';

const NOBODY: Mentions = { users: [], roles: [], everyone: false };
const ids = (text: string, pattern: RegExp): string[] => [...new Set([...text.matchAll(pattern)].map((match) => match[1] ?? ''))];

/** Whom `text` names, be they pinged or not. */
export const namedIn = (text: string): Mentions => ({
  users: ids(text, /<@!?(\d+)>/g),
  roles: ids(text, /<@&(\d+)>/g),
  everyone: /@(everyone|here)\b/.test(text),
});

/** `parse` and a list of ids for the same sort exclude each other. */
export function checkAllowed(allowed: APIAllowedMentions | null | undefined): FormError[] {
  const clash = (sort: 'users' | 'roles'): FormError[] =>
    (allowed?.parse as readonly string[] | undefined)?.includes(sort) && (allowed?.[sort]?.length ?? 0) > 0
      ? [{ path: 'allowed_mentions', message: `parse:["${sort}"] and ${sort}: [ids...] are mutually exclusive.` }]
      : [];
  return [...clash('users'), ...clash('roles')];
}

/** Who is notified. Left out: a plain message pings all it names, an answer to an interaction persons only. */
export function pinged(
  world: World,
  channel: Channel,
  text: string,
  allowed: APIAllowedMentions | null | undefined,
  as: { readonly answer: boolean; readonly repliedTo?: string },
): Mentions {
  const named = namedIn(text);
  const parse = (allowed ? (allowed.parse ?? []) : as.answer ? ['users'] : ['users', 'roles', 'everyone']) as readonly string[];
  const through = (sort: 'users' | 'roles'): string[] =>
    named[sort].filter((id) => parse.includes(sort) || allowed?.[sort]?.includes(id));
  const repliedUser = allowed ? (allowed.replied_user ?? false) : !as.answer;
  const everyoneBit = has(world, channel, world.bot.userId, may.MentionEveryone);
  const guild = channel.guildId === undefined ? undefined : world.guilds.get(channel.guildId);
  const users = new Set(through('users').filter((id) => world.users.has(id)));
  if (repliedUser && as.repliedTo !== undefined) users.add(as.repliedTo);
  if (!guild) return { ...NOBODY, users: [...users] };
  const roles = through('roles').filter((id) => everyoneBit || guild.roles.get(id)?.mentionable === true);
  return { users: [...users], roles, everyone: named.everyone && parse.includes('everyone') && everyoneBit };
}
