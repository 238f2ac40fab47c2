import type { Bot } from '../assemble.ts';
import { nextDelivery } from '../delivery/outbox.ts';
import { nextTick } from '../delivery/tick.ts';
import type { Store } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { RehearsalClock } from '../time/clock.ts';
import { instant, later, type Instant } from '../time/instant.ts';
import { plusDays } from '../time/local-date.ts';
import { instantOf, localAt, localTime } from '../time/wall-time.ts';
import type { Jump } from './parse-line.ts';

/** Moves the clock to `to`, stopping at everything that falls due on the way, as if the time had passed. */
export const passTime = async (store: Store, clock: RehearsalClock, bot: Bot, to: Instant): Promise<void> => {
  for (let at = clock.now(); ; ) {
    const next = await read(store, async (tx) => [await nextTick(tx), await nextDelivery(tx)].filter((each) => each !== null));
    // Something that is due already and stays due is waiting for a minute to pass, not for us.
    at = instant(Math.max(Math.min(...next, to), Math.min(to, at + 60_000 * Number(next.some((each) => each <= at)))));
    clock.moveTo(at);
    await bot.tick(clock.now());
    await bot.sender.drain();
    if (at >= to) return;
  }
};

/** Where a jump leads; a time of day already past means tomorrow's. Undefined for what cannot be read. */
export const jumpTarget = (by: Jump, now: Instant, zone: string): Instant | undefined => {
  switch (by.kind) {
    case 'span':
      return later(now, by.ms);
    case 'to': {
      const { date } = localAt(now, zone);
      const at = instantOf(plusDays(date, by.days), localTime(by.time), zone);
      return at > now ? at : by.days === 0 ? instantOf(plusDays(date, 1), localTime(by.time), zone) : undefined;
    }
    case 'unclear':
      return undefined;
  }
};

