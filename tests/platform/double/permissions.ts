import { PermissionFlagsBits } from 'discord.js';
import { refusals } from './refusal.ts';
import type { Channel, Guild, World } from './world.ts';

export const may = PermissionFlagsBits;
export const ALL = Object.values(PermissionFlagsBits).reduce((all, bit) => all | bit, 0n);
/** What a bot asks for on installation: see, send, threads, links, files, history, reactions. */
export const BOT_WISH = 309_237_763_136n;
/** What everybody has in a fresh guild, less what this double never asks about. */
export const EVERYONE =
  may.ViewChannel | may.SendMessages | may.ReadMessageHistory | may.AddReactions | may.EmbedLinks | may.AttachFiles |
  may.UseApplicationCommands | may.CreatePublicThreads | may.SendMessagesInThreads;

export function guildPermissions(guild: Guild, userId: string): bigint {
  if (guild.ownerId === userId) return ALL;
  const roles = [guild.id, ...(guild.members.get(userId)?.roles ?? [])];
  const base = roles.reduce((sum, id) => sum | (guild.roles.get(id)?.permissions ?? 0n), 0n);
  return (base & may.Administrator) === 0n ? base : ALL;
}

/** Base permissions, then the channel's overwrites: everyone, roles together, the member. A thread uses its parent's. */
export function permissionsIn(world: World, channel: Channel, userId: string): bigint {
  const guild = channel.guildId === undefined ? undefined : world.guilds.get(channel.guildId);
  if (!guild) return channel.recipientId === userId || userId === world.bot.userId ? ALL : 0n;
  if (!guild.members.has(userId)) return 0n;
  const base = guildPermissions(guild, userId);
  if (base === ALL) return ALL;
  const rules = (channel.thread ? world.channels.get(channel.parentId ?? '') : channel)?.overwrites ?? [];
  const mine = new Set(guild.members.get(userId)?.roles ?? []);
  const steps = [
    rules.filter((rule) => rule.id === guild.id),
    rules.filter((rule) => rule.kind === 'role' && mine.has(rule.id)),
    rules.filter((rule) => rule.kind === 'member' && rule.id === userId),
  ];
  return steps.reduce((now, step) => (now & ~step.reduce((d, r) => d | r.deny, 0n)) | step.reduce((a, r) => a | r.allow, 0n), base);
}

export const has = (world: World, channel: Channel, userId: string, bit: bigint): boolean =>
  (permissionsIn(world, channel, userId) & bit) === bit;

/** The channel, if the bot may see it; else the platform's refusal. */
export function channelForBot(world: World, id: string): Channel {
  const channel = world.channels.get(id);
  if (!channel) throw refusals.unknownChannel();
  if (!has(world, channel, world.bot.userId, may.ViewChannel)) throw refusals.missingAccess();
  return channel;
}

/** Without the right to see, the platform says "access"; without a later right it says "permissions". */
export function botNeeds(world: World, channel: Channel, ...bits: readonly bigint[]): void {
  for (const bit of bits) if (!has(world, channel, world.bot.userId, bit)) throw refusals.missingPermissions();
}
