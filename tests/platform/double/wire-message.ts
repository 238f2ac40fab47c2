import { channelWire, iso, userWire, type Wire } from './wire-places.ts';
import { messageById, userNamed, type Attachment, type Message, type World } from './world.ts';

export function attachmentWire(world: World, channelId: string, file: Attachment): Wire {
  const url = `${world.origin}/attachments/${channelId}/${file.id}/${encodeURIComponent(file.filename)}?ex=0&is=0&hm=0`;
  return {
    id: file.id, filename: file.filename, size: file.bytes.length, url, proxy_url: url, content_type: file.contentType,
    ...(file.description === undefined ? {} : { description: file.description }),
  };
}

export const emojiWire = (emoji: string): Wire => ({ id: null, name: emoji });

const withFiles = (message: Message, urls: ReadonlyMap<string, unknown>): unknown =>
  JSON.parse(JSON.stringify(message.embeds.map((embed) => ({ ...embed, type: 'rich' }))), (key, value: unknown) =>
    key === 'url' && typeof value === 'string' && value.startsWith('attachment://') ? (urls.get(value.slice('attachment://'.length)) ?? value) : value,
  );

/** The whole message, nothing withheld. `depth` 0 leaves out the message it replies to. */
export function messageWire(world: World, message: Message, depth = 1): Wire {
  const files = message.attachments.map((file) => attachmentWire(world, message.channelId, file));
  const target = message.replyTo && depth > 0 ? messageById(world, message.replyTo.channelId, message.replyTo.messageId) : undefined;
  const thread = world.channels.get(message.id);
  const counts = message.reactions.map((reaction) => ({
    emoji: emojiWire(reaction.emoji), count: reaction.by.length, me: reaction.by.includes(world.bot.userId), me_burst: false,
    count_details: { normal: reaction.by.length, burst: 0 }, burst_colors: [],
  }));
  return {
    id: message.id, channel_id: message.channelId, type: message.type, content: message.content, author: userWire(userNamed(world, message.authorId)),
    embeds: withFiles(message, new Map(files.map((file) => [String(file['filename']), file['url']]))), components: message.components, attachments: files,
    mentions: message.mentions.users.flatMap((id) => (world.users.has(id) ? [userWire(userNamed(world, id))] : [])), mention_roles: message.mentions.roles,
    mention_everyone: message.mentions.everyone, flags: message.flags, pinned: false, tts: false, timestamp: iso(message.createdAt),
    edited_timestamp: message.editedAt === undefined ? null : iso(message.editedAt),
    ...(message.nonce === undefined ? {} : { nonce: message.nonce }),
    ...(counts.length > 0 ? { reactions: counts } : {}),
    ...(thread ? { thread: channelWire(world, thread) } : {}),
    ...(message.interactionId === undefined ? {} : { webhook_id: world.bot.applicationId, application_id: world.bot.applicationId }),
    ...(message.replyTo ? { message_reference: { type: 0, channel_id: message.replyTo.channelId, message_id: message.replyTo.messageId, guild_id: message.guildId } } : {}),
    ...(message.replyTo && depth > 0 ? { referenced_message: target ? asBotSees(world, target, 0) : null } : {}),
  };
}

/** Own messages, direct messages and mentions are readable without the intent; a ping by reply counts unless it answers an interaction's answer. */
export function readable(world: World, message: Message): boolean {
  if (world.bot.granted.messageContent || message.authorId === world.bot.userId || message.guildId === undefined) return true;
  if (!message.mentions.users.includes(world.bot.userId)) return false;
  if (namesBot(world, message)) return true;
  const target = message.replyTo && messageById(world, message.replyTo.channelId, message.replyTo.messageId);
  return target?.interactionId === undefined;
}

const namesBot = (world: World, message: Message): boolean => new RegExp(`<@!?${world.bot.userId}>`).test(message.content);

const WITHHELD = { content: '', embeds: [], attachments: [], components: [] } as const;

/** The message as the bot gets it, by event and by request alike. */
export const asBotSees = (world: World, message: Message, depth = 1): Wire => ({
  ...messageWire(world, message, depth),
  ...(readable(world, message) ? {} : WITHHELD),
});
