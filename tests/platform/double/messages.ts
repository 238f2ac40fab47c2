import type { APIMessageTopLevelComponent } from 'discord.js';
import { SELECTS, walk, type Part } from './check-components.ts';
import { INTENT } from './gateway.ts';
import type { Inside } from './inside.ts';
import { has, may } from './permissions.ts';
import { asBotSees, emojiWire } from './wire-message.ts';
import { memberWire, type Wire } from './wire-places.ts';
import { messagesOf, putMessage, type Channel, type Message, type Reaction, type World } from './world.ts';

const own = (wire: Wire, drop: string): Wire => Object.fromEntries(Object.entries(wire).filter(([key]) => key !== drop));

/** Where a message or reaction stands: the guild, and who did it as a member of it. */
function placed(world: World, channel: Channel, userId: string): Wire {
  const guild = channel.guildId === undefined ? undefined : world.guilds.get(channel.guildId);
  const member = guild?.members.get(userId);
  return guild ? { guild_id: guild.id, ...(member ? { member: memberWire(world, member) } : {}) } : {};
}

/** Events reach the bot only from places it may see. */
function tell(inside: Inside, channel: Channel, t: string, d: Wire, needs: readonly [guild: number, direct: number]): void {
  if (!has(inside.world, channel, inside.world.bot.userId, may.ViewChannel)) return;
  inside.gateway.dispatch(t, d, channel.guildId === undefined ? needs[1] : needs[0]);
}

function eventWire(inside: Inside, channel: Channel, message: Message): Wire {
  const where = placed(inside.world, channel, message.authorId);
  const member = where['member'] as Wire | undefined;
  return { ...asBotSees(inside.world, message), channel_type: channel.type, ...where, ...(member ? { member: own(member, 'user') } : {}) };
}

const MESSAGE_NEEDS = [INTENT.guildMessages, INTENT.direct] as const;
const REACTION_NEEDS = [INTENT.guildReactions, INTENT.directReactions] as const;

/** Components carry a number each, selects their bounds; the platform gives what the sender left out. */
export function numbered(parts: readonly unknown[]): APIMessageTopLevelComponent[] {
  const given = new Set(walk(parts as readonly Part[]).map(([, part]) => part['id']));
  let next = 0;
  const free = (): number => {
    do next += 1;
    while (given.has(next));
    return next;
  };
  return JSON.parse(JSON.stringify(parts), (_key, value: unknown) => {
    if (typeof value !== 'object' || value === null || typeof (value as Wire)['type'] !== 'number') return value;
    const part = value as Wire;
    const bounds = SELECTS.includes(part['type']) ? { min_values: 1, max_values: 1 } : {};
    return { ...bounds, ...part, id: typeof part['id'] === 'number' && part['id'] > 0 ? part['id'] : free() };
  }) as APIMessageTopLevelComponent[];
}

export function addMessage(inside: Inside, channel: Channel, message: Message): Message {
  putMessage(inside.world, message);
  if (message.onlyFor === undefined) tell(inside, channel, 'MESSAGE_CREATE', eventWire(inside, channel, message), MESSAGE_NEEDS);
  inside.journal.note({ kind: 'message created', message, ...(message.interactionId === undefined ? {} : { interactionId: message.interactionId }) });
  return message;
}

/** `interactionId` names the interaction whose answer this edit is, if it is one. */
export function changeMessage(inside: Inside, channel: Channel, message: Message, interactionId?: string): Message {
  putMessage(inside.world, message);
  if (message.onlyFor === undefined) tell(inside, channel, 'MESSAGE_UPDATE', eventWire(inside, channel, message), MESSAGE_NEEDS);
  inside.journal.note({ kind: 'message edited', message, ...(interactionId === undefined ? {} : { interactionId }) });
  return message;
}

export function removeMessage(inside: Inside, channel: Channel, message: Message): void {
  messagesOf(inside.world, channel.id).delete(message.id);
  const d = { id: message.id, channel_id: channel.id, ...(channel.guildId === undefined ? {} : { guild_id: channel.guildId }) };
  if (message.onlyFor === undefined) tell(inside, channel, 'MESSAGE_DELETE', d, MESSAGE_NEEDS);
  inside.journal.note({ kind: 'message deleted', message });
}

function withReaction(message: Message, emoji: string, by: (now: readonly string[]) => readonly string[]): readonly Reaction[] {
  const others = message.reactions.filter((reaction) => reaction.emoji !== emoji);
  const now = by(message.reactions.find((reaction) => reaction.emoji === emoji)?.by ?? []);
  return now.length > 0 ? [...others, { emoji, by: now }] : others;
}

export function setReaction(inside: Inside, channel: Channel, message: Message, userId: string, emoji: string, given: boolean): void {
  const had = message.reactions.some((reaction) => reaction.emoji === emoji && reaction.by.includes(userId));
  if (had === given) return;
  const reactions = withReaction(message, emoji, (now) => (given ? [...now, userId] : now.filter((id) => id !== userId)));
  const changed = putMessage(inside.world, { ...message, reactions });
  const where = placed(inside.world, channel, userId);
  const d: Wire = {
    user_id: userId, channel_id: channel.id, message_id: message.id, emoji: emojiWire(emoji), burst: false, type: 0,
    ...(given ? { message_author_id: message.authorId, ...where } : own(where, 'member')),
  };
  tell(inside, channel, given ? 'MESSAGE_REACTION_ADD' : 'MESSAGE_REACTION_REMOVE', d, REACTION_NEEDS);
  inside.journal.note({ kind: given ? 'reaction added' : 'reaction removed', message: changed, userId, emoji });
}
