import { checkCommands } from './check-commands.ts';
import { list, text, within, type Part } from './check-components.ts';
import { applicationFlags, INTENT } from './gateway.ts';
import { messageById, directChannel, userNamed, type Channel, type Command, type Guild } from './world.ts';
import { botNeeds, channelForBot, has, may } from './permissions.ts';
import { refusals, refuseForm } from './refusal.ts';
import { bodyOf, ok, param, route, done, type Call } from './routes.ts';
import { channelWire, guildChannels, guildWire, memberWire, roleWire, userWire } from './wire-places.ts';
import { changeMessage } from './messages.ts';

function guildOf(call: Call): Guild {
  const guild = call.inside.world.guilds.get(param(call, 'guild_id'));
  if (!guild) throw refusals.unknownGuild();
  if (!guild.members.has(call.inside.world.bot.userId)) throw refusals.missingAccess();
  return guild;
}

function gatewayBot(call: Call) {
  const { origin } = call.inside.world;
  const used = call.inside.gateway.identifies.length;
  const limit = { total: 1000, remaining: Math.max(0, 1000 - used), reset_after: 86_400_000, max_concurrency: 1 };
  return ok({ url: origin.replace('http', 'ws'), shards: 1, session_start_limit: limit });
}

function application(call: Call) {
  const { world } = call.inside;
  const bot = userWire(userNamed(world, world.bot.userId));
  return ok({
    id: world.bot.applicationId, name: 'Grouphand', icon: null, description: '', bot_public: true, bot_require_code_grant: false, verify_key: '0'.repeat(64),
    flags: applicationFlags(world), flags_new: String(applicationFlags(world)), bot, owner: bot, team: null, hook: true, summary: '', type: null, redirect_uris: [],
    approximate_guild_count: world.guilds.size, approximate_user_install_count: 0, integration_types_config: { 0: {} }, tags: [], max_participants: null, event_webhooks_status: 1,
    explicit_content_filter: 0, interactions_endpoint_url: null, role_connections_verification_url: null,
  });
}

function commandsFor(call: Call, scope: string): readonly Command[] {
  return call.inside.world.commands.get(scope) ?? [];
}

function registered(call: Call, scope: string, fresh: readonly Part[]): readonly Command[] {
  const { world, journal } = call.inside;
  checkCommands(fresh);
  const before = commandsFor(call, scope);
  const now = fresh.map((part) => {
    const type = typeof part['type'] === 'number' ? part['type'] : 1;
    const same = before.find((command) => command.name === part['name'] && command.type === type);
    const empty = { default_member_permissions: null, nsfw: false, description: '', contexts: null, integration_types: [0] };
    return { ...empty, ...part, type, name: text(part['name']), id: same?.id ?? world.newId(), application_id: world.bot.applicationId, version: world.newId(), ...(scope === 'global' ? {} : { guild_id: scope, guildId: scope }) };
  });
  world.commands.set(scope, now);
  journal.note({ kind: 'commands registered', scope, names: now.map((command) => command.name) });
  return now;
}

function openDirect(call: Call) {
  const { world } = call.inside;
  const id = text(bodyOf(call)['recipient_id']);
  if (!world.users.has(id) || id === world.bot.userId) throw refusals.unknownUser();
  return ok(channelWire(world, directChannel(world, id)));
}

function openThread(call: Call, from?: string) {
  const { world, gateway } = call.inside;
  const parent = channelForBot(world, param(call, 'channel_id'));
  const body = bodyOf(call);
  botNeeds(world, parent, may.CreatePublicThreads);
  refuseForm(within('name', body['name'], 1, 100));
  const message = from === undefined ? undefined : messageById(world, parent.id, from);
  if (from !== undefined && !message) throw refusals.unknownMessage();
  if (from !== undefined && world.channels.has(from)) throw refusals.threadExists();
  const channel: Channel = {
    id: from ?? world.newId(), type: 11, name: text(body['name']), parentId: parent.id, overwrites: [],
    ...(parent.guildId === undefined ? {} : { guildId: parent.guildId }),
    thread: { archived: false, locked: false, ownerId: world.bot.userId, autoArchive: Number(body['auto_archive_duration'] ?? 4320) },
  };
  world.channels.set(channel.id, channel);
  if (message) changeMessage(call.inside, parent, { ...message, flags: message.flags | (1 << 5) });
  const wire = channelWire(world, channel);
  gateway.dispatch('THREAD_CREATE', { ...wire, newly_created: true }, INTENT.guilds);
  return { status: 201 as const, body: wire };
}

/** Of channels only threads can be changed here: the bot asks for no right to change others. */
function changeThread(call: Call) {
  const { world, gateway } = call.inside;
  const channel = channelForBot(world, param(call, 'channel_id'));
  const thread = channel.thread;
  if (!thread) throw refusals.missingPermissions();
  const manager = has(world, channel, world.bot.userId, may.ManageThreads);
  const body = bodyOf(call);
  const opens = body['archived'] === false;
  if (thread.locked && !manager) throw refusals.lockedThread();
  if (thread.archived && !opens) throw refusals.archivedThread();
  if ('locked' in body && !manager) throw refusals.missingPermissions();
  if (thread.ownerId !== world.bot.userId && !manager) throw refusals.missingPermissions();
  refuseForm('name' in body ? within('name', body['name'], 1, 100) : []);
  if (typeof body['archived'] === 'boolean') thread.archived = body['archived'];
  if (typeof body['locked'] === 'boolean') thread.locked = body['locked'];
  if ('name' in body) channel.name = text(body['name']);
  gateway.dispatch('THREAD_UPDATE', channelWire(world, channel), INTENT.guilds);
  return ok(channelWire(world, channel));
}

function member(call: Call) {
  const found = guildOf(call).members.get(param(call, 'user_id'));
  if (!found) throw refusals.unknownMember();
  return ok(memberWire(call.inside.world, found));
}

function person(call: Call) {
  const found = call.inside.world.users.get(param(call, 'user_id'));
  if (!found) throw refusals.unknownUser();
  return ok(userWire(found));
}

const COMMANDS = '/applications/{application_id}/commands';
const GUILD_COMMANDS = '/applications/{application_id}/guilds/{guild_id}/commands';
export const placeRoutes = [
  route('get_bot_gateway', 'GET', '/gateway/bot', gatewayBot),
  route('get_my_application', 'GET', '/applications/@me', application),
  route('get_my_oauth2_application', 'GET', '/oauth2/applications/@me', application),
  route('list_application_commands', 'GET', COMMANDS, (call) => ok(commandsFor(call, 'global'))),
  route('bulk_set_application_commands', 'PUT', COMMANDS, (call) => ok(registered(call, 'global', list(call.body)))),
  route('list_guild_application_commands', 'GET', GUILD_COMMANDS, (call) => ok(commandsFor(call, guildOf(call).id))),
  route('bulk_set_guild_application_commands', 'PUT', GUILD_COMMANDS, (call) => ok(registered(call, guildOf(call).id, list(call.body)))),
  route('get_my_user', 'GET', '/users/@me', (call) => ok(userWire(userNamed(call.inside.world, call.inside.world.bot.userId)))),
  route('create_dm', 'POST', '/users/@me/channels', openDirect),
  route('get_user', 'GET', '/users/{user_id}', person),
  route('get_channel', 'GET', '/channels/{channel_id}', (call) => ok(channelWire(call.inside.world, channelForBot(call.inside.world, param(call, 'channel_id'))))),
  route('update_channel', 'PATCH', '/channels/{channel_id}', changeThread),
  route('create_thread', 'POST', '/channels/{channel_id}/threads', (call) => openThread(call)),
  route('create_thread_from_message', 'POST', '/channels/{channel_id}/messages/{message_id}/threads', (call) => openThread(call, param(call, 'message_id'))),
  route('trigger_typing_indicator', 'POST', '/channels/{channel_id}/typing', (call) => (channelForBot(call.inside.world, param(call, 'channel_id')), done)),
  route('get_guild', 'GET', '/guilds/{guild_id}', (call) => ok(guildWire(call.inside.world, guildOf(call)))),
  route('list_guild_channels', 'GET', '/guilds/{guild_id}/channels', (call) => ok(guildChannels(call.inside.world, guildOf(call)).map((channel) => channelWire(call.inside.world, channel)))),
  route('list_guild_roles', 'GET', '/guilds/{guild_id}/roles', (call) => ok([...guildOf(call).roles.values()].map(roleWire))),
  route('get_guild_member', 'GET', '/guilds/{guild_id}/members/{user_id}', member),
] as const;
