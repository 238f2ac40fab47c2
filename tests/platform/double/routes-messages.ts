import { older } from './ids.ts';
import { addMessage, changeMessage, removeMessage, setReaction } from './messages.ts';
import { keepNonce, sameNonce } from './nonces.ts';
import { botNeeds, channelForBot, has, may } from './permissions.ts';
import { refusals, refuseForm } from './refusal.ts';
import { bodyOf, done, ok, param, route, type Call } from './routes.ts';
import { userWire } from './wire-places.ts';
import { asBotSees, messageWire } from './wire-message.ts';
import { messageById, messagesOf, shareAGuild, userNamed, type Channel, type Message } from './world.ts';
import { rewritten, written } from './writing.ts';

const place = (call: Call): Channel => channelForBot(call.inside.world, param(call, 'channel_id'));

/** What one person alone sees is in no channel: the platform does not know it there. */
function target(call: Call, channel: Channel): Message {
  const found = messageById(call.inside.world, channel.id, param(call, 'message_id'));
  if (!found || found.onlyFor !== undefined) throw refusals.unknownMessage();
  return found;
}

function mayWrite(call: Call, channel: Channel): void {
  const { world } = call.inside;
  if (channel.type === 1) {
    const user = userNamed(world, channel.recipientId ?? '');
    if (!shareAGuild(world, user.id)) throw refusals.noMutualGuild();
    if (user.door === 'closed') throw refusals.closedDoor();
  }
  botNeeds(world, channel, channel.thread ? may.SendMessagesInThreads : may.SendMessages);
  if (channel.thread?.locked && !has(world, channel, world.bot.userId, may.ManageThreads)) throw refusals.lockedThread();
}

function create(call: Call) {
  const { inside } = call;
  const channel = place(call);
  mayWrite(call, channel);
  const body = bodyOf(call);
  const twin = sameNonce(inside, channel.id, body['nonce'], body['enforce_nonce']);
  if (twin) return ok(messageWire(inside.world, twin));
  const message = written(call, channel, body, { answer: false });
  if (channel.thread) channel.thread.archived = false;
  keepNonce(inside, message);
  return ok(messageWire(inside.world, addMessage(inside, channel, message)));
}

function notArchived(channel: Channel): void {
  if (channel.thread?.archived) throw refusals.archivedThread();
}

function edit(call: Call) {
  const channel = place(call);
  const before = target(call, channel);
  if (before.authorId !== call.inside.world.bot.userId) throw refusals.notYours();
  notArchived(channel);
  const after = changeMessage(call.inside, channel, rewritten(call, channel, before, bodyOf(call), { answer: false }));
  return ok(messageWire(call.inside.world, after));
}

function erase(call: Call) {
  const channel = place(call);
  const message = target(call, channel);
  if (message.authorId !== call.inside.world.bot.userId) botNeeds(call.inside.world, channel, may.ManageMessages);
  notArchived(channel);
  removeMessage(call.inside, channel, message);
  return done;
}

function limitOf(call: Call, fallback: number): number {
  const limit = Number(call.query.get('limit') ?? fallback);
  if (!(limit >= 1 && limit <= 100)) refuseForm([{ path: 'limit', message: 'Must be between 1 and 100.' }]);
  return limit;
}

/** Newest first. `after` gives those next to the id, not the newest of all. */
function page(all: readonly Message[], call: Call, limit: number): readonly Message[] {
  const [before, after, around] = ['before', 'after', 'around'].map((key) => call.query.get(key));
  const rising = [...all].sort((a, b) => older(a.id, b.id));
  if (around) {
    const at = rising.findIndex((message) => older(message.id, around) >= 0);
    const start = Math.max(0, (at < 0 ? rising.length : at) - Math.floor(limit / 2));
    return rising.slice(start, start + limit).reverse();
  }
  if (after) return rising.filter((message) => older(message.id, after) > 0).slice(0, limit).reverse();
  return (before ? rising.filter((message) => older(message.id, before) < 0) : rising).slice(-limit).reverse();
}

function history(call: Call) {
  const { world } = call.inside;
  const channel = place(call);
  const limit = limitOf(call, 50);
  if (!has(world, channel, world.bot.userId, may.ReadMessageHistory)) return ok([]);
  const all = [...messagesOf(world, channel.id).values()].filter((message) => message.onlyFor === undefined);
  return ok(page(all, call, limit).map((message) => asBotSees(world, message)));
}

function one(call: Call) {
  const channel = place(call);
  botNeeds(call.inside.world, channel, may.ReadMessageHistory);
  return ok(asBotSees(call.inside.world, target(call, channel)));
}

function react(call: Call) {
  const { inside } = call;
  const channel = place(call);
  const message = target(call, channel);
  const emoji = param(call, 'emoji_name');
  notArchived(channel);
  botNeeds(inside.world, channel, may.ReadMessageHistory);
  const fresh = !message.reactions.some((reaction) => reaction.emoji === emoji);
  if (fresh) botNeeds(inside.world, channel, may.AddReactions);
  if (fresh && message.reactions.length >= 20) throw refusals.tooManyReactions();
  setReaction(inside, channel, message, inside.world.bot.userId, emoji, true);
  return done;
}

function unreact(call: Call, userId: string) {
  const channel = place(call);
  const message = target(call, channel);
  if (userId !== call.inside.world.bot.userId) botNeeds(call.inside.world, channel, may.ManageMessages);
  setReaction(call.inside, channel, message, userId, param(call, 'emoji_name'), false);
  return done;
}

function whoReacted(call: Call) {
  const message = target(call, place(call));
  const after = call.query.get('after') ?? '0';
  const by = message.reactions.find((reaction) => reaction.emoji === param(call, 'emoji_name'))?.by ?? [];
  const ids = by.filter((id) => older(id, after) > 0).sort(older).slice(0, limitOf(call, 25));
  return ok(ids.map((id) => userWire(userNamed(call.inside.world, id))));
}

const MESSAGES = '/channels/{channel_id}/messages';
const REACTION = `${MESSAGES}/{message_id}/reactions/{emoji_name}`;
export const messageRoutes = [
  route('create_message', 'POST', MESSAGES, create),
  route('list_messages', 'GET', MESSAGES, history),
  route('get_message', 'GET', `${MESSAGES}/{message_id}`, one),
  route('update_message', 'PATCH', `${MESSAGES}/{message_id}`, edit),
  route('delete_message', 'DELETE', `${MESSAGES}/{message_id}`, erase),
  route('add_my_message_reaction', 'PUT', `${REACTION}/@me`, react),
  route('delete_my_message_reaction', 'DELETE', `${REACTION}/@me`, (call) => unreact(call, call.inside.world.bot.userId)),
  route('delete_user_message_reaction', 'DELETE', `${REACTION}/{user_id}`, (call) => unreact(call, param(call, 'user_id'))),
  route('list_message_reactions_by_emoji', 'GET', REACTION, whoReacted),
] as const;
