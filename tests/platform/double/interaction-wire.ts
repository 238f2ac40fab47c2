import type { Inside } from './inside.ts';
import type { Interaction, InteractionKind } from './interactions.ts';
import { permissionsIn } from './permissions.ts';
import { attachmentWire, messageWire } from './wire-message.ts';
import { memberWire, partialChannelWire, roleWire, userWire, type Wire } from './wire-places.ts';
import { messageById, userNamed, type Attachment, type Channel, type Guild, type Message, type World } from './world.ts';

const TYPE: Readonly<Record<InteractionKind, number>> = { command: 2, press: 3, choices: 4, form: 5 };
/** The platform's default for one file, handed along with every interaction. */
const FILE_LIMIT = 10 * 1024 * 1024;

export const guildOf = (world: World, channel: Channel): Guild | undefined => (channel.guildId === undefined ? undefined : world.guilds.get(channel.guildId));

function asker(world: World, channel: Channel, userId: string): Wire {
  const guild = guildOf(world, channel);
  const member = guild?.members.get(userId);
  const user = userWire(userNamed(world, userId));
  if (!guild) return { user, context: 1, authorizing_integration_owners: { 0: '0' } };
  if (!member) throw new Error(`${userNamed(world, userId).name} is not in ${guild.name}`);
  return {
    guild_id: guild.id, guild_locale: guild.locale, guild: { id: guild.id, locale: guild.locale, features: [] }, context: 0,
    authorizing_integration_owners: { 0: guild.id }, member: memberWire(world, member, permissionsIn(world, channel, userId)),
  };
}

/** Makes the interaction known to the double and tells the bot of it. */
export function startInteraction(inside: Inside, kind: InteractionKind, byId: string, channel: Channel, data: Wire, on?: Message): Interaction {
  const { world } = inside;
  const interaction = inside.interactions.add({ id: world.newId(), kind, byId, channelId: channel.id, createdAt: world.clock.now(), ...(on ? { onMessageId: on.id } : {}) });
  const d: Wire = {
    id: interaction.id, application_id: world.bot.applicationId, type: TYPE[kind], token: interaction.token, version: 1, data, channel_id: channel.id,
    channel: partialChannelWire(world, channel, byId), locale: userNamed(world, byId).locale, app_permissions: permissionsIn(world, channel, world.bot.userId).toString(),
    entitlements: [], attachment_size_limit: FILE_LIMIT, ...asker(world, channel, byId),
    ...(on ? { message: messageWire(world, messageById(world, channel.id, on.id) ?? on) } : {}),
  };
  inside.gateway.dispatch('INTERACTION_CREATE', d, 0);
  return interaction;
}

export type Resolved = { readonly ids: readonly string[]; readonly files: readonly Attachment[]; readonly messages: readonly Message[] };

function gathered(entries: readonly (readonly [string, Wire] | undefined)[]): Wire | undefined {
  const found = entries.filter((entry) => entry !== undefined);
  return found.length > 0 ? Object.fromEntries(found) : undefined;
}

/** What the ids in an interaction stand for, in the platform's `resolved` shape. */
export function resolvedWire(world: World, channel: Channel, byId: string, given: Resolved): Wire {
  const guild = guildOf(world, channel);
  const parts: Wire = {
    users: gathered(given.ids.map((id) => { const user = world.users.get(id); return user && [id, userWire(user)]; })),
    members: gathered(given.ids.map((id) => {
      const member = guild?.members.get(id);
      return member && [id, Object.fromEntries(Object.entries(memberWire(world, member, permissionsIn(world, channel, id))).filter(([key]) => key !== 'user'))];
    })),
    roles: gathered(given.ids.map((id) => { const role = guild?.roles.get(id); return role && [id, roleWire(role)]; })),
    channels: gathered(given.ids.map((id) => { const one = world.channels.get(id); return one && [id, partialChannelWire(world, one, byId)]; })),
    messages: gathered(given.messages.map((message) => [message.id, messageWire(world, message)])),
    attachments: gathered(given.files.map((file) => [file.id, attachmentWire(world, channel.id, file)])),
  };
  return Object.fromEntries(Object.entries(parts).filter(([, value]) => value !== undefined));
}
