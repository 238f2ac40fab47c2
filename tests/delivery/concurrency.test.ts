import { describe, expect, test } from 'vitest';
import type { Store } from '../../src/store/store.ts';
import { read, transact } from '../../src/store/transact.ts';
import { databases } from '../store/databases.ts';
import { at, atLanternStreet, inBar, recorder, textOf, type Bench } from './fixture.ts';

const rows = (store: Store) => read(store, async (tx) => ({ reminders: await tx.selectFrom('reminder').selectAll().execute(), jobs: await tx.selectFrom('occurrence').selectAll().orderBy('position').execute(), outbox: await tx.selectFrom('outbox').selectAll().execute() }));

describe.each(databases)('many at once, on the $name database', ({ open }) => {
  test('two ticks at the same moment post one list and move each duty once', async () => {
    const store = await open();
    const { bot, chat, clock } = await atLanternStreet(store);
    at(clock, '2027-03-09T21:00:05Z');
    await Promise.all([bot.tick(clock.now()), bot.tick(clock.now()), bot.tick(clock.now())]);
    await bot.sender.drain();
    const { reminders, jobs } = await rows(store);
    expect(reminders).toHaveLength(1);
    expect(jobs.map(({ job, position }) => [position, job])).toEqual([[1, 'backflush'], [2, 'brush-seals'], [3, 'soak-baskets'], [4, 'wands-tray']]);
    expect(chat.sent).toHaveLength(1);
    const duties = await read(store, (tx) => tx.selectFrom('duty').select(['job', 'rev', 'next_due']).where('job', 'in', ['backflush', 'wands-tray']).execute());
    expect(duties.map(({ rev, next_due }) => [rev, next_due])).toEqual([[1, Date.parse('2027-03-10T21:00:00Z')], [1, Date.parse('2027-03-10T21:00:00Z')]]);
    await store.close();
  });

  test('two whole bots started by mistake: every list and answer goes out once, and shows what is stored', async () => {
    const store = await open();
    const chat = recorder();
    const bots = [await atLanternStreet(store, chat), await atLanternStreet(store, chat)];
    const both = (work: (bench: Bench) => Promise<unknown>): Promise<unknown> => Promise.all(bots.map(work));
    for (const { clock } of bots) at(clock, '2027-03-09T21:00:05Z');
    await both(async ({ bot, clock }) => {
      await bot.tick(clock.now());
      await bot.sender.drain();
    });
    // Both are connected, so both hear what is said.
    await both(({ bot }) => bot.router.take(inBar('sam', { text: 'done' }, 'heard by both')));
    await both(({ bot }) => bot.sender.drain());
    expect(chat.texts().map((text) => text.split(',')[0])).toEqual(['Closing', 'Thanks']);
    expect((await rows(store)).outbox.filter(({ state, shown_version, version }) => state !== 'sent' || shown_version !== version)).toEqual([]);
    await store.close();
  });

  test('fifty presses of "Done: all" while the tick runs leave one record and forty-nine kind words', async () => {
    const store = await open();
    const { bot, clock } = await atLanternStreet(store);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    await bot.sender.drain();
    const [reminder] = (await rows(store)).reminders;
    const people = ['mia', 'sam', 'lina', 'pablo'];
    const presses = Array.from({ length: 50 }, (_, i) => bot.router.take(inBar(people[i % 4] ?? 'mia', { press: 'routine.done', ids: [reminder?.id ?? ''] })));
    const [answers] = await Promise.all([Promise.all(presses), bot.tick(clock.now()), bot.tick(clock.now())]);
    expect(answers.filter((answer) => textOf(answer).includes('Already done'))).toHaveLength(49);
    const { jobs } = await rows(store);
    expect(jobs.map(({ state, rev }) => [state, rev])).toEqual([['done', 1], ['done', 1], ['asked', 1], ['done', 1]]);
    expect(new Set(jobs.map(({ by_name }) => by_name)).size).toBe(1);
    await store.close();
  });

  test('fifty interleaved changes of one duty all count', async () => {
    const store = await open();
    const { cafe } = await atLanternStreet(store);
    await Promise.all(Array.from({ length: 50 }, () => transact(store, [cafe], async (tx) => {
      const duty = await tx.selectFrom('duty').select(['id', 'rev']).where('job', '=', 'backflush').executeTakeFirstOrThrow();
      await new Promise((resolve) => setImmediate(resolve));
      await tx.updateTable('duty').set({ rev: duty.rev + 1 }).where('id', '=', duty.id).execute();
    })));
    expect(await read(store, (tx) => tx.selectFrom('duty').select('rev').where('job', '=', 'backflush').executeTakeFirst())).toEqual({ rev: 50 });
    await store.close();
  });
});
