import type { Message, MessageReaction, PartialMessage, PartialMessageReaction, PartialUser, User } from 'discord.js';
import type { Incoming } from '../chat/incoming.ts';
import { placeId, type Person } from '../chat/who.ts';
import type { Router } from '../router.ts';
import type { Store } from '../store/store.ts';
import { createFloodGate } from './flood.ts';
import { heardFrom, isAddressed, isSpoken, placeOfMessage } from './heard.ts';
import type { InOrder } from './in-order.ts';
import { isCafePlace, isOurs, wasTaken } from './known.ts';
import { createOnce } from './once.ts';
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
  /** A mark found on a message: it may have been taken long ago, and something else been done since. */
  readonly find: (mark: Mark, by: User) => Promise<void>;
};

const markId = ({ message }: Mark, user: string, given: boolean): string => `tick.${message.id}.${user}.${given ? 'given' : 'taken'}`;

/** Marks that say "done" on a list; what they mean elsewhere is for the message they stand on. */
const TICKS: ReadonlySet<string> = new Set(['✅', '☑', '✔', '👍']);
export const isTick = (emoji: string | null): boolean => emoji !== null && TICKS.has(emoji.replace(/\ufe0f|\p{Emoji_Modifier}/gu, ''));

export const createEars = ({ store, router, marks, order, self, readsAll, elapsed }: ListenNeeds): Ears => {
  const mayAsk = createFloodGate(elapsed);
  /** Over restarts the database remembers. */
  const isNew = createOnce();

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

  const takeMark = async (mark: Mark, user: User | PartialUser, given: boolean): Promise<void> => {
    const { message } = mark;
    if (!isTick(mark.emoji.name) || user.id === self()) return;
    const by = await seenBy(mark, user);
    if (!by) return;
    const at = placeOf(message.guildId, message.channelId, user.id);
    const incoming: Incoming = { kind: 'tick-mark', id: markId(mark, user.id, given), by, at, on: message.id, given, ...(message.guildId ? { space: message.guildId } : {}) };
    await order.run(`words ${at} ${user.id}`, () => router.take(incoming));
  };

  return {
    hear: async (message) => {
      if (message.author.id === self()) return marks.note(placeId(message.guildId ? `c.${message.channelId}` : `p.${message.channel.isDMBased() && 'recipientId' in message.channel ? message.channel.recipientId : ''}`), message.id);
      if (!isSpoken(message) || !isNew(message.id)) return;
      const place = placeOfMessage(message);
      await order.run(`words ${place} ${message.author.id}`, () => take(message));
      marks.note(place, message.id);
    },
    see: (mark, user, given) => takeMark(mark, user, given),
    find: async (mark, user) => {
      if (!(await wasTaken(store, markId(mark, user.id, true)))) await takeMark(mark, user, true);
    },
  };
};
