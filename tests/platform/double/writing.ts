import type { APIAllowedMentions, APIEmbed } from 'discord.js';
import { KIND, list, text, V2, walk, type Part } from './check-components.ts';
import { checkMessage } from './check-message.ts';
import { namedIn, pinged } from './mentions.ts';
import { numbered } from './messages.ts';
import { botNeeds, has, may } from './permissions.ts';
import { refusals, refuseForm } from './refusal.ts';
import type { Call } from './routes.ts';
import type { Wire } from './wire-places.ts';
import { messageById, type Attachment, type Channel, type Message, type World } from './world.ts';

const allowedOf = (body: Wire): APIAllowedMentions | null | undefined => body['allowed_mentions'] as APIAllowedMentions | null | undefined;
export const flagsOf = (body: Wire): number => (typeof body['flags'] === 'number' ? body['flags'] : 0);
/** The words that can name somebody: content, or the texts of the newer layout. */
const spoken = (content: string, components: readonly Part[]): string =>
  [content, ...walk(components).flatMap(([, part]) => (part['type'] === KIND.text ? [text(part['content'])] : []))].join('\n');

function uploads(call: Call, body: Wire): Attachment[] {
  const told = list(body['attachments']);
  return [...call.files].map(([n, file]) => {
    const about = told.find((one) => String(one['id']) === String(n));
    const description = text(about?.['description']);
    return {
      id: call.inside.world.newId(), filename: text(about?.['filename']) || file.name, contentType: file.type || 'application/octet-stream', bytes: file.bytes,
      ...(description === '' ? {} : { description }),
    };
  });
}

function replyTarget(world: World, channel: Channel, body: Wire): Message | undefined {
  const reference = body['message_reference'] as { message_id?: string; channel_id?: string; fail_if_not_exists?: boolean } | null | undefined;
  if (!reference?.message_id) return undefined;
  if (!has(world, channel, world.bot.userId, may.ReadMessageHistory)) throw refusals.replyNeedsHistory();
  const target = messageById(world, channel.id, reference.message_id);
  if (!target && reference.fail_if_not_exists !== false) refuseForm([{ path: 'message_reference', message: 'Unknown message' }]);
  return target;
}

function checkRights(world: World, channel: Channel, embeds: readonly APIEmbed[], files: readonly Attachment[]): void {
  if (embeds.length > 0) botNeeds(world, channel, may.EmbedLinks);
  if (files.length > 0) botNeeds(world, channel, may.AttachFiles);
}

export type As = { readonly answer: boolean; readonly interactionId?: string; readonly onlyFor?: string; readonly extraFlags?: number };

/** A new message of the bot out of a request body; refuses what the platform would. */
export function written(call: Call, channel: Channel, body: Wire, as: As): Message {
  const { world } = call.inside;
  const content = text(body['content']).trim();
  const embeds = (body['embeds'] ?? []) as APIEmbed[];
  const parts = list(body['components']);
  const attachments = uploads(call, body);
  const flags = flagsOf(body) | (as.extraFlags ?? 0);
  const allowed = allowedOf(body);
  if (!as.answer) checkRights(world, channel, embeds, attachments);
  checkMessage({ content, embeds, components: parts, attachments, flags, nonce: body['nonce'], ...(allowed === undefined ? {} : { allowed }) });
  const target = as.answer ? undefined : replyTarget(world, channel, body);
  const words = spoken(content, parts);
  const ping = pinged(world, channel, words, allowed, { answer: as.answer, ...(target ? { repliedTo: target.authorId } : {}) });
  const named = namedIn(words);
  return {
    id: world.newId(), channelId: channel.id, authorId: world.bot.userId, type: target ? 19 : as.interactionId === undefined ? 0 : 20, content, embeds,
    components: numbered(parts), attachments, flags, mentions: { ...named, users: [...new Set([...named.users, ...ping.users])] }, pinged: ping, createdAt: world.clock.now(), reactions: [],
    ...(channel.guildId === undefined ? {} : { guildId: channel.guildId }),
    ...(body['nonce'] === undefined || body['nonce'] === null ? {} : { nonce: body['nonce'] as string | number }),
    ...(target ? { replyTo: { channelId: channel.id, messageId: target.id } } : {}),
    ...(as.interactionId === undefined ? {} : { interactionId: as.interactionId }),
    ...(as.onlyFor === undefined ? {} : { onlyFor: as.onlyFor }),
  };
}

function keptFiles(body: Wire, before: Message): readonly Attachment[] {
  if (!Array.isArray(body['attachments'])) return before.attachments;
  const kept = new Set(list(body['attachments']).map((one) => String(one['id'])));
  return before.attachments.filter((file) => kept.has(file.id));
}

/** `before` with the fields of the body put in; what the body leaves out stays. Nobody is pinged by an edit. */
export function rewritten(call: Call, channel: Channel, before: Message, body: Wire, as: { readonly answer: boolean }): Message {
  const { world } = call.inside;
  const content = 'content' in body ? text(body['content']).trim() : before.content;
  const embeds = 'embeds' in body ? ((body['embeds'] ?? []) as APIEmbed[]) : before.embeds;
  const parts = 'components' in body ? list(body['components']) : (before.components as unknown as readonly Part[]);
  const attachments = [...keptFiles(body, before), ...uploads(call, body)];
  const newer = before.flags & V2;
  if (newer && 'flags' in body && (flagsOf(body) & V2) === 0) refuseForm([{ path: 'flags', message: 'The newer components cannot be taken back.' }]);
  const flags = (before.flags & ~(1 << 7)) | (flagsOf(body) & (V2 | (1 << 2)));
  const allowed = allowedOf(body);
  if (!as.answer) checkRights(world, channel, 'embeds' in body ? embeds : [], uploads(call, body));
  checkMessage({ content, embeds, components: parts, attachments, flags, ...(allowed === undefined ? {} : { allowed }) });
  return { ...before, content, embeds, components: numbered(parts), attachments, flags, mentions: namedIn(spoken(content, parts)), editedAt: world.clock.now() };
}
