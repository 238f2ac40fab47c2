import { setTimeout as pause } from 'node:timers/promises';
import { button, message } from '../../src/chat/message.ts';
import { press } from '../../src/chat/press.ts';
import { channel } from '../../src/chat/who.ts';
import { createIds } from '../../src/store/id.ts';
import { postAll, SAID, said } from '../../src/store/post.ts';
import type { Store } from '../../src/store/store.ts';
import { transact } from '../../src/store/transact.ts';
import type { Channel, Message } from '../platform/double/world.ts';
import { openBench, type Bench } from './bench.ts';

/**
 * Milliseconds from the press to the platform's having our acknowledgement, sorted; messages sent a second meanwhile, and
 * requests the platform refused as too many.
 */
export type Acks = { readonly ms: readonly number[]; readonly perSecond: number; readonly tooMany: number };
export type AckFigures = { readonly idle: Acks; readonly busy: Acks };

const CHANNELS = 100;
const PRESSES = 200;

const post = async (bench: Bench, places: readonly Channel[], keys: readonly string[], label: string): Promise<void> => {
  const list = said(message(['Closing, groups 1 and 2:', '1 Backflush, rinse till clear   2 Brush seals, wipe rims'], [button(label, press('bench.done', 'a'), 'main'), button('Later', press('bench.later', 'a'))]));
  await transact(bench.store, [], (tx) => postAll(tx, createIds(), bench.clock.now(), keys.map((key, i) => ({ key, place: channel(places[i % places.length]?.id ?? ''), kind: SAID, data: list, priority: 'reminder' as const }))));
};

const pressAll = async (bench: Bench, shown: Message, between: number): Promise<readonly number[]> => {
  const asked = [];
  for (let i = 0; i < PRESSES; i++) {
    asked.push(bench.mia.press(shown, i % 2 === 0 ? 'Done: all' : 'Later'));
    await pause(between);
  }
  await Promise.all(asked.map((each) => each.acknowledged()));
  return asked.map(({ interaction }) => interaction.tookMs ?? Number.NaN).sort((a, b) => a - b);
};

/** Presses answered by a bot at rest, and by one that sends at its full rate. */
export const ackFigures = async (store: () => Promise<Store>): Promise<AckFigures> => {
  const bench = await openBench({
    store,
    subject: () => ({
      presses: [
        { kind: 'bench.done', ack: 'update', right: 'anyone', take: async () => ({ kind: 'noted' }) },
        { kind: 'bench.later', ack: 'private', right: 'anyone', take: async () => ({ kind: 'private', message: message(['Later.']) }) },
      ],
    }),
  });
  await post(bench, [bench.bar], ['first'], 'Done: all');
  await bench.settle();
  const shown = bench.shown()[0];
  if (!shown) throw new Error('no list was shown');
  const idle = await pressAll(bench, shown, 20);
  await bench.settle();

  const places = Array.from({ length: CHANNELS }, (_, i) => bench.place.channel(`c${i}`));
  await post(bench, places, Array.from({ length: 600 }, (_, i) => `m${i}`), 'Done: all');
  bench.connection.bot.sender.wake();
  await pause(1200);
  const sent = (): number => bench.double.sent('create_message').filter(({ status }) => status === 200).length;
  const [from, before] = [performance.now(), sent()];
  const busy = await pressAll(bench, shown, 40);
  const [to, after] = [performance.now(), sent()];
  const tooMany = bench.double.requests.filter(({ status }) => status === 429).length;
  return { idle: { ms: idle, perSecond: 0, tooMany: 0 }, busy: { ms: busy, perSecond: ((after - before) * 1000) / (to - from), tooMany } };
};
