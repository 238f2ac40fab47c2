import type { Message, MessageReaction, PartialMessage, PartialMessageReaction, PartialUser, User } from 'discord.js';
import type { Incoming } from '../chat/incoming.ts';
import { placeId, type Person } from '../chat/who.ts';
import type { Router } from '../router.ts';
import type { Store } from '../store/store.ts';
import { createFloodGate } from './flood.ts';
import { heardFrom, isAddressed, isSpoken, placeOfMessage } from './heard.ts';
import type { InOrder } from './in-order.ts';
import { isCafePlace, isOurs } from './known.ts';
import { alone, memberAs, memberIn, placeOf } from './persons.ts';
import type { ReadMarks } from './read-marks.ts';

export type ListenNeeds = {
  readonly store: Store;
  readonly router: Router;
  readonly marks: ReadMarks;
  readonly order: InOrder;
  readonly self: () => string;
  /** May the bot read what is not addressed to it? */
  readonly readsAll: () => boolean;
  readonly elapsed?: () => number;
};

export type Mark = Pick<MessageReaction | PartialMessageReaction, 'emoji'> & { readonly message: Message | PartialMessage };

export type Ears = {
  /** Takes a message once, however often it comes. */
  readonly hear: (message: Message) => Promise<void>;
  readonly see: (mark: Mark, by: User | PartialUser, given: boolean) => Promise<void>;
};

/** Marks that say "done" on a list; what they mean elsewhere is for the message they stand on. */
const TICKS: ReadonlySet<string> = new Set(['✅', '☑', '✔', '👍']);
export const isTick = (emoji: string | null): boolean => emoji !== null && TICKS.has(emoji.replace(/[\ufe0f\u{1f3fb}-\u{1f3ff}]/gu, ''));

const MOST_REMEMBERED = 2000;

export const createEars = ({ store, router, marks, order, self, readsAll, elapsed }: ListenNeeds): Ears => {
  const mayAsk = createFloodGate(elapsed);
  const lately = new Set<string>();

  /** The same event may come twice within a moment; over restarts the database remembers. */
  const isNew = (id: string): boolean => {
    if (lately.has(id)) return false;
    lately.add(id);
    const [oldest] = lately;
    if (lately.size > MOST_REMEMBERED && oldest !== undefined) lately.delete(oldest);
    return true;
  };

  const wordsIn = async (message: Message): Promise<Incoming | undefined> => {
    const place = placeOfMessage(message);
    const to = message.reference?.messageId;
    const addressed = isAddressed(message, self()) || (to !== undefined && (await isOurs(store, place, to)));
    if (!addressed && !(await isCafePlace(store, place))) return undefined;
    const heard = await heardFrom(message, self(), readsAll(), addressed);
    return heard?.kind === 'words' && (addressed || heard.readable) ? heard : undefined;
  };

  const take = async (message: Message): Promise<void> => {
    const incoming = await wordsIn(message);
    if (incoming && mayAsk(incoming.by.id)) await router.take(incoming);
  };

  const seenBy = async ({ message }: Mark, user: User | PartialUser): Promise<Person | undefined> => {
    const whole = user.partial ? await user.fetch().catch(() => undefined) : user;
    if (!whole || whole.bot) return undefined;
    if (!message.guildId) return alone(whole);
    const member = message.guild ? await memberIn(message.guild, whole.id) : undefined;
    return member && memberAs(member);
  };

  return {
    hear: async (message) => {
      if (message.author.id === self()) return marks.note(placeId(message.guildId ? `c.${message.channelId}` : `p.${message.channel.isDMBased() && 'recipientId' in message.channel ? message.channel.recipientId : ''}`), message.id);
      if (!isSpoken(message) || !isNew(message.id)) return;
      const place = placeOfMessage(message);
      await order.run(`words ${place} ${message.author.id}`, () => take(message));
      marks.note(place, message.id);
    },
    see: async (mark, user, given) => {
      const { message } = mark;
      if (!isTick(mark.emoji.name) || user.id === self()) return;
      const by = await seenBy(mark, user);
      if (!by) return;
      const at = placeOf(message.guildId, message.channelId, user.id);
      const incoming: Incoming = { kind: 'tick-mark', id: `tick.${message.id}.${user.id}.${given ? 'given' : 'taken'}`, by, at, on: message.id, given, ...(message.guildId ? { space: message.guildId } : {}) };
      await order.run(`words ${at} ${user.id}`, () => router.take(incoming));
    },
  };
};
