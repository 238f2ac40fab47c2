import { createHash } from 'node:crypto';
import type { Logger } from 'pino';
import { fitting, problemsOf } from '../chat/limits.ts';
import type { Message } from '../chat/message.ts';
import { ChatRefused, type Chat } from '../chat/port.ts';
import type { Store } from '../store/store.ts';
import type { PlaceId } from '../chat/who.ts';
import type { Clock } from '../time/clock.ts';
import { later, type Instant } from '../time/instant.ts';
import { lookOf } from './look.ts';
import { isMendable } from './roads.ts';
import { claim, hold, markDropped, markSent, markShown, markTrying, postponeRedraw, putBack, staleMessages, type Delivery } from './outbox.ts';

export type Sender = {
  /** There may be something to send. Returns at once. */
  readonly wake: () => void;
  /** Sends until nothing is due, and returns when all of it has arrived. */
  readonly drain: () => Promise<void>;
  /** Claims nothing more and waits for what is under way. */
  readonly stop: () => Promise<void>;
};

export type SenderNeeds = {
  readonly store: Store;
  readonly chat: Chat;
  readonly clock: Clock;
  readonly log: Logger;
  /** How a delivery looks now; undefined: no longer worth sending. */
  readonly show: (delivery: Delivery) => Promise<Message | undefined>;
  /** What happens with a message the chat will not take: told to whoever can mend it. */
  readonly refused: (delivery: Delivery, why: string) => Promise<void>;
  /** Until when a message waits though it is due: nothing rings in the rush but danger, answers and visits. */
  readonly waits?: (delivery: Delivery, now: Instant) => Promise<Instant | undefined>;
  /** Told of a message that arrived after the place had refused it. */
  readonly arrived?: (place: PlaceId) => Promise<void>;
  /** Resolves when one more request may go out. */
  readonly pace?: () => Promise<void>;
  readonly width?: number;
};

/** Of the places in which messages are under way at once, so many are kept for danger and answers. */
const KEPT_FREE = 2;

/** Growing pauses between attempts: 2 s, 4 s, … 5 min. */
const pauseAfter = (attempts: number): number => Math.min(300_000, 1000 * 2 ** Math.min(attempts, 9));

/** At most 25 characters, the same for every attempt within the nonce's window. */
export const nonceOf = (id: string, firstTry: Instant): string => createHash('sha256').update(`${id} ${firstTry}`).digest('base64url').slice(0, 24);

export const createSender = (needs: SenderNeeds): Sender => {
  const { store, chat, clock, log, show, refused } = needs;
  const pace = needs.pace ?? (async () => undefined);
  const width = needs.width ?? 8;
  const busy = new Set<string>();
  let running: Promise<void> | undefined;
  let again = false;
  let stopped = false;

  const send = async (delivery: Delivery, message: Message, firstTry: Instant): Promise<string> => {
    await pace();
    return chat.send(delivery.place, message, {
      nonce: nonceOf(delivery.id, firstTry),
      silent: delivery.silent === 1,
      notify: delivery.notify.people,
      notifyRoles: delivery.notify.roles,
      ...(delivery.reply_to === null ? {} : { replyTo: delivery.reply_to }),
    });
  };

  /** A message first tried long ago may have arrived: the place's history knows, the nonce no longer does. */
  const reconcile = async (delivery: Delivery, message: Message, firstTry: Instant, now: Instant): Promise<string | undefined> => {
    const found = await chat.find(delivery.place, message, later(firstTry, -10_000));
    if (found.kind === 'found') return found.id;
    if (found.kind === 'unreadable') {
      await refused(delivery, 'unreadable');
      return undefined;
    }
    await markTrying(store, delivery.id, now);
    return send(delivery, message, now);
  };

  const attempt = async (delivery: Delivery, message: Message, now: Instant): Promise<string | undefined> => {
    const firstTry = delivery.first_try_at as Instant | null;
    if (firstTry !== null && now - firstTry > chat.nonceWindow) return reconcile(delivery, message, firstTry, now);
    if (firstTry === null) await markTrying(store, delivery.id, now);
    return send(delivery, message, firstTry ?? now);
  };

  const trouble = async (delivery: Delivery, error: unknown): Promise<void> => {
    const now = clock.now();
    if (error instanceof ChatRefused && error.refusal.why !== 'unavailable') {
      log.warn({ key: delivery.key, why: error.refusal.why }, 'a message was refused');
      await refused(delivery, error.refusal.why);
      return;
    }
    const wait = error instanceof ChatRefused && error.refusal.why === 'unavailable' ? error.refusal.wait : undefined;
    log.warn({ key: delivery.key, attempts: delivery.attempts, err: error instanceof Error ? error.message : 'unknown' }, 'a message could not be sent yet');
    await putBack(store, delivery.id, later(now, Math.max(wait ?? 0, pauseAfter(delivery.attempts + 1))), 'unavailable');
  };

  const deliver = async (delivery: Delivery): Promise<void> => {
    try {
      const now = clock.now();
      const until = await needs.waits?.(delivery, now);
      if (until !== undefined) return await hold(store, delivery.id, until);
      const late = delivery.not_after !== null && now > delivery.not_after;
      const message = late ? undefined : await show(delivery);
      if (message === undefined) return await markDropped(store, delivery.id);
      if (problemsOf(message).length > 0) log.error({ kind: delivery.kind, problems: problemsOf(message) }, 'a message no chat can show');
      const id = await attempt(delivery, fitting(message), now);
      if (id === undefined) return;
      await markSent(store, delivery, id, lookOf(message), clock.now());
      if (delivery.trouble !== null && isMendable(delivery.trouble)) await needs.arrived?.(delivery.place);
    } catch (error) {
      await trouble(delivery, error);
    } finally {
      busy.delete(delivery.place);
    }
  };

  const bringUp = async (delivery: Delivery): Promise<void> => {
    try {
      const message = delivery.message_id === null ? undefined : await show(delivery);
      if (message === undefined || delivery.message_id === null) return await postponeRedraw(store, delivery.id, null);
      const look = lookOf(message);
      if (look === null || look !== delivery.shown_look) {
        await pace();
        await chat.edit(delivery.place, delivery.message_id, fitting(message));
      }
      await markShown(store, delivery.key, delivery.version, look);
    } catch (error) {
      const gone = error instanceof ChatRefused && error.refusal.why !== 'unavailable';
      log.warn({ key: delivery.key, err: error instanceof Error ? error.message : 'unknown' }, 'a shown message could not be changed');
      await postponeRedraw(store, delivery.id, gone ? null : later(clock.now(), 10_000));
    }
  };

  const flying = new Set<Promise<void>>();
  let landed = 0;
  let nudge = (): void => undefined;

  const fly = (work: Promise<void>): void => {
    const flight = work.finally(() => {
      landed++;
      flying.delete(flight);
    });
    flying.add(flight);
  };

  const bringAllUp = async (now: Instant): Promise<number> => {
    const stale = await staleMessages(store, now, width);
    await Promise.all(stale.map((each) => (each.shown_version < each.version ? bringUp(each) : postponeRedraw(store, each.id, null))));
    return stale.length;
  };

  /** Starts what can be started. A slow place holds up nobody else, and the last places are kept for danger and answers. */
  const launch = async (): Promise<number> => {
    const now = clock.now();
    const free = width - flying.size;
    if (free <= 0) return 0;
    const claimed = await claim(store, now, free > KEPT_FREE ? free - KEPT_FREE : free, busy, free <= KEPT_FREE);
    for (const delivery of claimed) {
      busy.add(delivery.place);
      fly(deliver(delivery));
    }
    return claimed.length;
  };

  const run = async (): Promise<void> => {
    do {
      again = false;
      while (!stopped) {
        const before = landed;
        const done = (await bringAllUp(clock.now())) + (await launch());
        // A place that became free while we looked may be used at once.
        if (done > 0 || landed > before) continue;
        if (flying.size === 0) break;
        await Promise.race([...flying, new Promise<void>((resolve) => (nudge = resolve))]);
      }
    } while (again && !stopped);
    await Promise.all(flying);
  };

  const start = (): Promise<void> => {
    again = true;
    nudge();
    running ??= run()
      .catch((error: unknown) => log.error({ err: error }, 'the sender stumbled'))
      .finally(() => {
        running = undefined;
      });
    return running;
  };

  return {
    wake: () => {
      if (!stopped) void start();
    },
    drain: async () => {
      while (!stopped) {
        const before = running;
        await start();
        if (before === undefined) return;
      }
    },
    stop: async () => {
      stopped = true;
      await running;
    },
  };
};
