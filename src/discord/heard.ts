import { MessageFlags, MessageType, type Message } from 'discord.js';
import type { Incoming } from '../chat/incoming.ts';
import type { Person, PlaceId } from '../chat/who.ts';
import { attachmentsOf } from './attachments.ts';
import { wordsFrom } from './markup.ts';
import { alone, memberAs, memberIn, placeOf } from './persons.ts';

/** Who wrote, as a member where it was in a server; undefined for someone who is no member any more. */
const writerOf = async (message: Message): Promise<Person | undefined> => {
  if (!message.guildId) return alone(message.author);
  if (!message.guild) return undefined;
  const member = message.member ?? (await memberIn(message.guild, message.author.id));
  return member && memberAs(member);
};

/** A person's own words: no bots, no hooks, no notes of the platform about joins and pins. */
export const isSpoken = (message: Message): boolean => !message.author.bot && message.webhookId === null && (message.type === MessageType.Default || message.type === MessageType.Reply);

export const placeOfMessage = (message: Message): PlaceId => placeOf(message.guildId, message.channelId, message.author.id);

/** Does this message answer one of ours, as far as the event itself tells? */
const answersUs = (message: Message, self: string): boolean => {
  const to = message.reference?.messageId;
  return to !== undefined && (message.mentions.repliedUser?.id === self || message.channel.messages.cache.get(to)?.author?.id === self);
};

export const isAddressed = (message: Message, self: string): boolean => !message.guildId || message.mentions.users.has(self) || answersUs(message, self);

/** Without the right to read, everything but names and addresses comes empty. */
const isWithheld = (message: Message, self: string, readsAll: boolean): boolean =>
  !readsAll && message.guildId !== null && !message.mentions.users.has(self) && message.content === '' && message.attachments.size === 0;

/** What was said, in our words; undefined when nobody of the place said it. */
export const heardFrom = async (message: Message, self: string, readsAll: boolean, addressed: boolean): Promise<Incoming | undefined> => {
  const by = await writerOf(message);
  if (!by) return undefined;
  const nameOf = (id: string): string | undefined => message.mentions.members?.get(id)?.displayName ?? message.mentions.users.get(id)?.displayName;
  const attachments = attachmentsOf([...message.attachments.values()]);
  const to = message.reference?.messageId;
  return {
    kind: 'words',
    id: message.id,
    by,
    at: placeOfMessage(message),
    text: wordsFrom(message.content, { self, person: nameOf }),
    readable: !isWithheld(message, self, readsAll),
    addressed,
    ...(message.guildId ? { space: message.guildId } : {}),
    ...(to === undefined ? {} : { replyTo: to }),
    ...(attachments.length > 0 ? { attachments } : {}),
    ...(message.flags.has(MessageFlags.IsVoiceMessage) ? { voice: true } : {}),
  };
};
