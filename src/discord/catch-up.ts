import type { Client, Message, TextBasedChannel } from 'discord.js';
import type { Logger } from 'pino';
import { idOf, isDirect, type PlaceId } from '../chat/who.ts';
import type { Store } from '../store/store.ts';
import { transact } from '../store/transact.ts';
import type { Clock } from '../time/clock.ts';
import { errorFacts } from './error-facts.ts';
import { markable, oldestShown, placesToRead } from './known.ts';
import { isTick, type Ears } from './listen.ts';
import type { ReadMarks } from './read-marks.ts';
import { byAge } from './snowflake.ts';

export type CatchUpNeeds = {
  readonly client: Client<true>;
  readonly store: Store;
  readonly clock: Clock;
  readonly log: Logger;
  readonly ears: Ears;
  readonly marks: ReadMarks;
  /** Kinds of messages on which a mark counts. */
  readonly markKinds: readonly string[];
  readonly pace: () => Promise<void>;
  readonly wake: () => void;
  /** Set when the bot is to stop: what was not read is read by the next start. */
  readonly stopping: AbortSignal;
};

const PAGE = 100;
const MOST_PAGES = 5;

/** Messages that waited because the platform was not there may go now. */
const releaseWaiting = async (store: Store, now: number): Promise<void> => {
  await transact(store, [], (tx) => tx.updateTable('outbox').set({ not_before: now }).where('state', '=', 'ready').where('trouble', '=', 'unavailable').where('not_before', '>', now).execute());
};

/**
 * After every start and every new session: what was said and marked while nobody listened is taken now. Direct channels
 * are opened on the way, since marks in one that is not known do not arrive. Presses cannot be made up for: whoever
 * pressed was told that it failed.
 */
export const catchUp = async (needs: CatchUpNeeds): Promise<void> => {
  const { client, store, clock, log, ears, marks, pace, stopping } = needs;

  const channelOf = async (place: PlaceId): Promise<TextBasedChannel | undefined> => {
    if (!isDirect(place)) {
      const channel = client.channels.cache.get(idOf(place));
      return channel?.isTextBased() ? channel : undefined;
    }
    await pace();
    return client.users.createDM(idOf(place));
  };

  const pageAfter = async (channel: TextBasedChannel, after: string): Promise<readonly Message[]> => {
    await pace();
    const page = await channel.messages.fetch({ after, limit: PAGE, cache: false });
    return [...page.values()].sort((a, b) => byAge(a.id, b.id));
  };

  const readWords = async (place: PlaceId, channel: TextBasedChannel): Promise<void> => {
    let after = (await marks.of(place)) ?? (await oldestShown(store, place, clock.now()));
    for (let pages = 0; after !== undefined && pages < MOST_PAGES; pages++) {
      const messages = await pageAfter(channel, after);
      for (const message of messages) await ears.hear(message);
      if (messages.length < PAGE) return;
      after = messages.at(-1)?.id;
    }
  };

  const readMarksOn = async (channel: TextBasedChannel, id: string): Promise<void> => {
    await pace();
    const message = await channel.messages.fetch({ message: id, cache: false, force: true });
    for (const reaction of message.reactions.cache.values()) {
      if (!isTick(reaction.emoji.name)) continue;
      await pace();
      for (const user of (await reaction.users.fetch({ limit: PAGE })).values()) await ears.find({ emoji: reaction.emoji, message }, user);
    }
  };

  /** One place that cannot be read must not keep the others from being read. */
  const trying = async (what: string, work: () => Promise<void>): Promise<void> => {
    if (stopping.aborted) return;
    await work().catch((error: unknown) => log.warn({ what, err: errorFacts(error) }, 'could not be read after a pause'));
  };

  const now = clock.now();
  const channels = new Map<PlaceId, TextBasedChannel>();
  for (const place of await placesToRead(store, now))
    await trying(place, async () => {
      const channel = await channelOf(place);
      if (!channel) return;
      channels.set(place, channel);
      await readWords(place, channel);
    });
  for (const { place, message } of await markable(store, needs.markKinds, now))
    await trying(message, async () => {
      const channel = channels.get(place) ?? (await channelOf(place));
      if (channel) await readMarksOn(channel, message);
    });
  if (stopping.aborted) throw new Error('stopped while reading back');
  await releaseWaiting(store, clock.now());
  needs.wake();
};
