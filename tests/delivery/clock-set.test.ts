import { describe, expect, test } from 'vitest';
import type { Store } from '../../src/store/store.ts';
import { read } from '../../src/store/transact.ts';
import { later, minutes } from '../../src/time/instant.ts';
import { databases } from '../store/databases.ts';
import { at, atLanternStreet, inBar, recorder, type Bench } from './fixture.ts';

const run = async ({ bot, clock }: Bench, utc: string): Promise<void> => {
  at(clock, utc);
  await bot.tick(clock.now());
  await bot.sender.drain();
};
const closings = (bench: Bench): number => bench.chat.texts().filter((text) => text.startsWith('Closing')).length;
const dueAgain = (store: Store) => read(store, (tx) => tx.selectFrom('duty').select('next_due').where('job', '=', 'backflush').executeTakeFirstOrThrow());

describe.each(databases)('a computer whose clock is set, on the $name database', ({ open }) => {
  test('three hours fast and put right: the list that came too early does not come again, the next one comes in time', async () => {
    const store = await open();
    const chat = recorder();
    const fast = await atLanternStreet(store, chat, '2027-03-09T17:58:30Z');
    await run(fast, '2027-03-09T21:00:05Z');
    await fast.bot.router.take(inBar('mia', { text: 'done' }));
    await fast.bot.sender.drain();
    expect([closings(fast), chat.texts().some((text) => text.startsWith('Thanks, Mia'))]).toEqual([1, true]);
    const right = await atLanternStreet(store, chat, '2027-03-09T18:00:00Z');
    await right.bot.resume();
    await run(right, '2027-03-09T21:00:05Z');
    await run(right, '2027-03-10T06:35:00Z');
    expect(closings(right)).toBe(1);
    await run(right, '2027-03-10T21:00:05Z');
    expect(closings(right)).toBe(2);
    await store.close();
  });

  test('what is said while it is slow is answered at once, by a clock that had been fast before', async () => {
    const store = await open();
    const chat = recorder();
    const fast = await atLanternStreet(store, chat);
    await run(fast, '2027-03-09T21:00:05Z');
    const slow = await atLanternStreet(store, chat, '2027-03-09T15:00:00Z');
    await slow.bot.resume();
    await slow.bot.router.take(inBar('sam', { text: 'done' }));
    await slow.bot.sender.drain();
    expect(chat.texts().filter((text) => text.startsWith('Thanks, Sam'))).toHaveLength(1);
    await store.close();
  });

  test('set forwards by a day and a half it says what was missed once; nothing is due twice', async () => {
    const store = await open();
    const bench = await atLanternStreet(store);
    await run(bench, '2027-03-09T21:00:05Z');
    await run(bench, '2027-03-11T09:00:00Z');
    const posted = bench.chat.sent.length;
    await run(bench, '2027-03-11T09:00:05Z');
    bench.clock.moveTo(later(bench.clock.now(), minutes(5)));
    await bench.bot.tick(bench.clock.now());
    await bench.bot.sender.drain();
    expect([closings(bench), bench.chat.texts().filter((text) => text.includes('I was away')).length, bench.chat.sent.length - posted]).toEqual([1, 1, 0]);
    expect(await dueAgain(store)).toEqual({ next_due: Date.parse('2027-03-11T21:00:00Z') });
    await store.close();
  });
});
