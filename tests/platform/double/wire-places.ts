import { permissionsIn } from './permissions.ts';
import { momentOf } from './ids.ts';
import { userNamed, type Channel, type Guild, type Member, type Role, type User, type World } from './world.ts';

/** A body as it goes over the wire. */
export type Wire = Record<string, unknown>;
export const iso = (ms: number): string => new Date(ms).toISOString().replace('Z', '+00:00');

export const userWire = (user: User): Wire => ({
  id: user.id, username: user.name.toLowerCase().replaceAll(/[^a-z0-9._]/g, '_'), discriminator: '0', global_name: user.bot ? null : user.name,
  avatar: null, avatar_decoration_data: null, collectibles: null, display_name_styles: null, primary_guild: null, banner: null, accent_color: null, public_flags: 0, flags: 0, bot: user.bot,
});

export const roleWire = (role: Role): Wire => ({
  id: role.id, name: role.name, color: 0, colors: { primary_color: 0, secondary_color: null, tertiary_color: null }, hoist: false,
  position: role.position, permissions: role.permissions.toString(), managed: false, mentionable: role.mentionable, flags: 0, icon: null, unicode_emoji: null, description: null,
});

export const memberWire = (world: World, member: Member, permissions?: bigint): Wire => ({
  user: userWire(userNamed(world, member.userId)), roles: member.roles, joined_at: iso(member.joinedAt), nick: null, avatar: null, banner: null,
  deaf: false, mute: false, pending: false, flags: 0, premium_since: null, communication_disabled_until: null,
  ...(permissions === undefined ? {} : { permissions: permissions.toString() }),
});

export function channelWire(world: World, channel: Channel): Wire {
  const base = { id: channel.id, type: channel.type, flags: 0, last_message_id: [...(world.messages.get(channel.id)?.keys() ?? [])].at(-1) ?? null };
  if (channel.type === 1) return { ...base, recipients: [userWire(userNamed(world, channel.recipientId ?? ''))] };
  const placed = { ...base, name: channel.name, guild_id: channel.guildId, parent_id: channel.parentId ?? null, rate_limit_per_user: 0 };
  if (!channel.thread) {
    const rules = channel.overwrites.map((rule) => ({ id: rule.id, type: rule.kind === 'role' ? 0 : 1, allow: rule.allow.toString(), deny: rule.deny.toString() }));
    return { ...placed, position: 0, topic: null, nsfw: false, permission_overwrites: rules };
  }
  const { archived, locked, autoArchive, ownerId } = channel.thread;
  return {
    ...placed, owner_id: ownerId, message_count: world.messages.get(channel.id)?.size ?? 0, member_count: 1, total_message_sent: 0,
    thread_metadata: { archived, locked, auto_archive_duration: autoArchive, archive_timestamp: iso(momentOf(channel.id)), create_timestamp: iso(momentOf(channel.id)) },
  };
}

/** A channel picked or named in an interaction: with what the person may do there, and the bot. */
export const partialChannelWire = (world: World, channel: Channel, personId: string): Wire => ({
  ...channelWire(world, channel),
  permissions: permissionsIn(world, channel, personId).toString(),
  app_permissions: permissionsIn(world, channel, world.bot.userId).toString(),
});

export function guildWire(world: World, guild: Guild): Wire {
  return {
    id: guild.id, name: guild.name, owner_id: guild.ownerId, preferred_locale: guild.locale, icon: null, description: null, home_header: null, splash: null,
    discovery_splash: null, features: [], banner: null, application_id: null, region: 'deprecated', afk_channel_id: null, afk_timeout: 300, system_channel_id: null,
    system_channel_flags: 0, widget_enabled: false, widget_channel_id: null, verification_level: 0, default_message_notifications: 0, mfa_level: 0,
    explicit_content_filter: 0, max_presences: null, max_members: 500_000, max_video_channel_users: 25, max_stage_video_channel_users: 50, vanity_url_code: null,
    premium_tier: 0, premium_subscription_count: 0, premium_progress_bar_enabled: false, rules_channel_id: null, safety_alerts_channel_id: null,
    public_updates_channel_id: null, hub_type: null, nsfw: false, nsfw_level: 0, emojis: [], stickers: [], incidents_data: null, inventory_settings: null,
    roles: [...guild.roles.values()].map(roleWire),
  };
}

const channelsOf = (world: World, guild: Guild): Channel[] => [...world.channels.values()].filter((channel) => channel.guildId === guild.id);
export const guildChannels = (world: World, guild: Guild): Channel[] => channelsOf(world, guild).filter((channel) => !channel.thread);

export function guildCreateWire(world: World, guild: Guild): Wire {
  const bot = guild.members.get(world.bot.userId);
  const threads = channelsOf(world, guild).filter((channel) => channel.thread && !channel.thread.archived);
  return {
    ...guildWire(world, guild), joined_at: iso(bot?.joinedAt ?? 0), large: false, unavailable: false, member_count: guild.members.size,
    members: bot ? [memberWire(world, bot)] : [], channels: guildChannels(world, guild).map((channel) => channelWire(world, channel)),
    threads: threads.map((channel) => channelWire(world, channel)), voice_states: [], presences: [], stage_instances: [], guild_scheduled_events: [], soundboard_sounds: [],
  };
}

