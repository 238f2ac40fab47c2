import { describe, expect, test } from 'vitest';
import { shownText } from '../../src/chat/limits.ts';
import { message } from '../../src/chat/message.ts';
import { placeId } from '../../src/chat/who.ts';
import { createSender } from '../../src/delivery/sender.ts';
import { createNotices } from '../../src/notices.ts';
import { createIds } from '../../src/store/id.ts';
import { openStore } from '../../src/store/open.ts';
import { post, redraw } from '../../src/store/post.ts';
import { read, transact } from '../../src/store/transact.ts';
import { minutes, later } from '../../src/time/instant.ts';
import { databases } from '../store/databases.ts';
import { at, atLanternStreet, inBar, recorder, silentLog } from './fixture.ts';

describe.each(databases)('sending once, on the $name database', ({ open }) => {
  test('an answer that is lost is not a second message', async () => {
    const store = await open();
    const chat = recorder();
    const { bot, clock } = await atLanternStreet(store, chat);
    at(clock, '2027-03-09T21:00:05Z');
    chat.next.push('lost', 'lost');
    await bot.tick(clock.now());
    await bot.sender.drain();
    clock.moveTo(later(clock.now(), minutes(1)));
    await bot.sender.drain();
    clock.moveTo(later(clock.now(), 50_000));
    await bot.sender.drain();
    expect(chat.sent).toHaveLength(1);
    expect(await read(store, (tx) => tx.selectFrom('outbox').select(['state', 'message_id']).execute())).toEqual([{ state: 'sent', message_id: 'm1' }]);
    await store.close();
  });

  test('died between send and mark, past the nonce: the history is looked at, and nothing is sent again', async () => {
    const store = await open();
    const chat = recorder();
    const { bot, clock } = await atLanternStreet(store, chat);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    await bot.sender.drain();
    await transact(store, [], (tx) => tx.updateTable('outbox').set({ state: 'claimed', message_id: null, claimed_at: clock.now() }).execute());
    clock.moveTo(later(clock.now(), minutes(20)));
    await transact(store, [], (tx) => tx.updateTable('outbox').set({ state: 'ready' }).execute());
    await bot.sender.drain();
    expect(chat.sent).toHaveLength(1);
    expect(await read(store, (tx) => tx.selectFrom('outbox').select('message_id').executeTakeFirst())).toEqual({ message_id: 'm1' });
    await store.close();
  });

  test('past the nonce, not in the history: it is sent', async () => {
    const store = await open();
    const chat = recorder();
    const { bot, clock } = await atLanternStreet(store, chat);
    at(clock, '2027-03-09T21:00:05Z');
    chat.next.push({ why: 'unavailable', wait: minutes(30) });
    await bot.tick(clock.now());
    await bot.sender.drain();
    expect(chat.sent).toHaveLength(0);
    clock.moveTo(later(clock.now(), minutes(31)));
    await bot.sender.drain();
    expect(chat.texts()[0]).toContain('Closing, groups 1 and 2');
    await store.close();
  });

  test('past the nonce, history unreadable: nothing is sent again and the owner is told once', async () => {
    const store = await open();
    const chat = recorder({ history: false });
    const { bot, clock } = await atLanternStreet(store, chat);
    at(clock, '2027-03-09T21:00:05Z');
    chat.next.push('lost');
    await bot.tick(clock.now());
    await bot.sender.drain();
    clock.moveTo(later(clock.now(), minutes(10)));
    await bot.sender.drain();
    await bot.sender.drain();
    expect(chat.texts().filter((text) => text.includes('Closing'))).toHaveLength(1);
    expect(chat.texts().filter((text) => text.includes('may be missing'))).toHaveLength(1);
    await store.close();
  });

  test('what looks as it did is not changed again, except where a press was answered with something else', async () => {
    const store = await open();
    const chat = recorder();
    const { bot, clock } = await atLanternStreet(store, chat);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    await bot.sender.drain();
    const again = async (directly: boolean): Promise<number | undefined> => {
      const row = await transact(store, [], async (tx) => {
        const { key } = await tx.selectFrom('outbox').select('key').executeTakeFirstOrThrow();
        await redraw(tx, key, clock.now(), directly);
        return key;
      });
      clock.moveTo(later(clock.now(), 10_000));
      await bot.sender.drain();
      const { version, shown_version, redraw_at } = await read(store, (tx) => tx.selectFrom('outbox').selectAll().where('key', '=', row).executeTakeFirstOrThrow());
      expect([shown_version, redraw_at]).toEqual([version, null]);
      return chat.sent[0]?.edits;
    };
    expect(await again(false)).toBe(0);
    expect(await again(true)).toBe(1);
    expect(await again(false)).toBe(1);
    await store.close();
  });

  test('a channel that is gone is told once to the owner, in words with the cure', async () => {
    const store = await open();
    const chat = recorder();
    const { bot, clock } = await atLanternStreet(store, chat);
    at(clock, '2027-03-09T21:00:05Z');
    chat.next.push({ why: 'channel-gone' });
    await bot.tick(clock.now());
    await bot.sender.drain();
    expect(chat.sent.map(({ place }) => place)).toEqual(['p.ola']);
    expect(chat.texts()[0]).toContain('Write /cafe');
    await store.close();
  });

  test('a process that has only the store and a sender sends what another wrote', async () => {
    const store = await open();
    const first = recorder();
    const { bot, clock } = await atLanternStreet(store, first);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    const second = recorder();
    const sender = createSender({ store, chat: second, clock, log: silentLog, show: createNotices(bot.subjects, clock), refused: async () => undefined });
    await sender.drain();
    await bot.sender.drain();
    expect(second.texts().filter((text) => text.includes('Closing'))).toHaveLength(1);
    expect(first.sent).toHaveLength(0);
    await store.close();
  });

  test('the same event twice is answered once', async () => {
    const store = await open();
    const { bot, chat, clock } = await atLanternStreet(store);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    await bot.sender.drain();
    for (let i = 0; i < 3; i++) await bot.router.take(inBar('sam', { text: 'done' }, 'same-event'));
    await bot.sender.drain();
    expect(chat.texts().filter((text) => text.startsWith('Thanks, Sam'))).toHaveLength(1);
    expect(chat.texts().filter((text) => text.startsWith('Already'))).toHaveLength(0);
    await store.close();
  });

  test('an outage of ten days is one summary, not a flood', async () => {
    const store = await open();
    const { bot, chat, clock } = await atLanternStreet(store);
    at(clock, '2027-03-20T11:00:00Z');
    await bot.tick(clock.now());
    await bot.sender.drain();
    const posted = chat.sent.filter(({ place }) => place === 'c.bar').map((each) => shownText(each.message));
    expect(posted.filter((text) => text.includes('I was away'))).toHaveLength(1);
    expect(posted.length).toBeLessThanOrEqual(2);
    await bot.tick(clock.now());
    await bot.sender.drain();
    expect(chat.sent.filter(({ place }) => place === 'c.bar')).toHaveLength(posted.length);
    await store.close();
  });
});

describe('a busy evening', () => {
  const many = async (slow: string) => {
    const store = await openStore({});
    const order: string[] = [];
    let letGo = (): void => undefined;
    const held = new Promise<void>((resolve) => (letGo = resolve));
    const chat = recorder();
    const slowChat = { ...chat, send: async (...given: Parameters<typeof chat.send>) => {
      if (given[0] === slow) await held;
      order.push(given[0]);
      return chat.send(...given);
    } };
    const { clock } = await atLanternStreet(store, chat);
    const ids = createIds();
    const sender = createSender({ store, chat: slowChat, clock, log: silentLog, show: async () => message(['x']), refused: async () => undefined });
    const put = (place: string, priority: 'danger' | 'reminder') => transact(store, [], (tx) => post(tx, ids, clock.now(), { key: `${place}.${order.length}.${Math.floor(performance.now() * 1000)}`, place: placeId(place), kind: 'x', data: {}, priority }));
    return { store, order, letGo, sender, put };
  };

  test('a place that does not answer holds up nobody else, and danger passes a full queue', async () => {
    const { store, order, letGo, sender, put } = await many('c.slow');
    await put('c.slow', 'reminder');
    for (let i = 0; i < 40; i++) await put(`c.${i}`, 'reminder');
    const drained = sender.drain();
    await expect.poll(() => order.length).toBe(40);
    await put('c.fire', 'danger');
    sender.wake();
    await expect.poll(() => order.includes('c.fire')).toBe(true);
    letGo();
    await drained;
    await sender.drain();
    expect(order).toContain('c.fire');
    expect(order.filter((place) => place === 'c.slow')).toHaveLength(1);
    await store.close();
  });

  test('messages to one place keep their order', async () => {
    const { store, order, letGo, sender, put } = await many('c.none');
    letGo();
    for (let i = 0; i < 5; i++) await put('c.same', 'reminder');
    await sender.drain();
    expect(order).toEqual(Array.from({ length: 5 }, () => 'c.same'));
    await store.close();
  });
});
