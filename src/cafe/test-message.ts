import { z } from 'zod';
import { line, type Message } from '../chat/message.ts';
import { placeId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { clockTime, shortened } from '../words/format.ts';
import { present } from './conversation.ts';
import { houseOf } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { fittingList } from './ready-view.ts';
import type { NoticeKind, PressRoute, TimerKind } from './subject.ts';
import { cafeOfPress, talking } from './talking.ts';

export const TEST = 'cafe.test-message';
const OVER = 'cafe.test-over';
const SHOWN_FOR = minutes(10);

/** How a test fared: in the channel, on its way, or why the chat refused it. */
export type Arrival = 'sent' | 'waiting' | 'no-permission' | 'channel-gone' | 'archived' | 'refused';

const KNOWN: readonly Arrival[] = ['no-permission', 'channel-gone', 'archived'];

/** What has become of a message of ours by now. */
export const arrivalOf = async (tx: Tx, key: string): Promise<Arrival> => {
  const row = await tx.selectFrom('outbox').select(['state', 'trouble']).where('key', '=', key).executeTakeFirst();
  if (row?.state === 'sent') return 'sent';
  const mendable = KNOWN.find((why) => why === row?.trouble);
  if (row?.state !== 'sent' && mendable !== undefined) return mendable;
  if (row?.state === 'ready' || row?.state === 'claimed') return 'waiting';
  return 'refused';
};

const dataSchema = z.object({ at: z.number() });

/** The test as it looks in the channel: tonight's list, plainly headed; after ten minutes only that it worked. */
export const testNotice = ({ store, words, tonight }: CafeNeeds): NoticeKind => ({
  kind: TEST,
  show: async ({ data, cafe, now }) => {
    const parsed = dataSchema.safeParse(data);
    if (!parsed.success || cafe === null) return undefined;
    return read(store, async (tx): Promise<Message | undefined> => {
      const house = await houseOf(tx, cafe);
      if (!house) return undefined;
      const locale = words.nearest(house.cafe.language);
      const say = words.in(locale);
      const time = clockTime(parsed.data.at as Instant, { locale, zone: house.cafe.zone });
      if (now >= parsed.data.at + SHOWN_FOR) return { title: say('cafe.test.title'), lines: [line(say('cafe.test.over', { time }))] };
      const list = await tonight(tx, cafe, now, say);
      const jobs = list ? [line(fittingList(list.jobs, (count) => say('cafe.more', { count })))] : [];
      return { title: say('cafe.test.title'), lines: [line(say('cafe.test.line', { name: shortened(house.cafe.name, 30) })), ...jobs, line(say(jobs.length > 0 ? 'cafe.test.list' : 'cafe.test.nothing'))] };
    });
  },
});

export const testOverTimer: TimerKind = { kind: OVER, fire: async (tx, { ref }, now) => void (await redraw(tx, ref, now)) };

const postTest = async (needs: CafeNeeds, cafe: string, key: string, now: Instant): Promise<void> =>
  transact(needs.store, [cafe], async (tx) => {
    const house = await houseOf(tx, cafe);
    if (!house || house.cafe.place === null) return;
    await post(tx, needs.ids, now, { key, cafe, place: placeId(house.cafe.place), kind: TEST, data: { at: now }, priority: 'answer', silent: true, notAfter: later(now, SHOWN_FOR) });
    await setTimer(tx, needs.ids, now, { key, cafe, kind: OVER, ref: key, at: later(now, SHOWN_FOR) });
  });

/** [Show a test]: a real message through the real way, and a plain sentence on whether it arrived. */
export const testRoute = (needs: CafeNeeds): PressRoute => ({
  kind: 'cafe.test',
  ack: 'update',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed) => {
    const cafe = pressed.press.ids[0] ?? '';
    const key = `${TEST}.${pressed.event}`;
    await postTest(needs, cafe, key, pressed.now);
    await needs.drain?.();
    const shown = await talking(needs, pressed, cafe, async (talk, house) => {
      const arrival = house.cafe.place === null ? 'channel-gone' : await arrivalOf(talk.tx, key);
      return present(talk, house, { key: `cafe.test.${arrival}` });
    });
    return { kind: 'redraw', message: shown };
  },
});
