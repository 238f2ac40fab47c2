import { expect, test } from 'vitest';
import { writeSpans } from '../../src/cafe/calendar.ts';
import { placeId } from '../../src/chat/who.ts';
import { claim } from '../../src/delivery/outbox.ts';
import { createRush } from '../../src/delivery/rush.ts';
import { createIds } from '../../src/store/id.ts';
import { postAll, type Priority } from '../../src/store/post.ts';
import { transact } from '../../src/store/transact.ts';
import { instant } from '../../src/time/instant.ts';
import { databases, embedded } from '../store/databases.ts';
import { atLanternStreet } from './fixture.ts';

const NOW = instant(Date.parse('2027-03-09T21:00:00Z'));

for (const database of databases)
  test(`one café with a long queue does not hide the others, on the '${database.name}' database`, async () => {
    const store = await database.open();
    const ids = createIds();
    const notice = (key: string, place: string, priority: Priority = 'reminder') => ({ key, place: placeId(place), kind: 'said', data: {}, priority });
    await transact(store, [], (tx) => postAll(tx, ids, NOW, [...Array.from({ length: 100 }, (_, i) => notice(`flood.${i}`, 'c.flood')), notice('a', 'c.a'), notice('b', 'c.b'), notice('help', 'c.help', 'danger')]));
    expect((await claim(store, NOW, 6, new Set())).map(({ key }) => key)).toEqual(['help', 'flood.0', 'a', 'b']);
    await store.close();
  });

test('nothing but danger, answers and visits rings in the rush', async () => {
  const store = await embedded.open();
  const { cafe } = await atLanternStreet(store);
  const rush = [{ from: 13 * 60, to: 14 * 60 + 30 }];
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ rush: writeSpans([rush, rush, rush, rush, rush, rush, rush]) }).execute());
  const waits = createRush(store);
  const lunch = instant(Date.parse('2027-03-10T12:30:00Z'));
  const over = Date.parse('2027-03-10T13:30:00Z');
  expect(await Promise.all([0, 1, 2, 3, 4].map((priority) => waits({ priority, cafe }, lunch)))).toEqual([undefined, undefined, undefined, over, over]);
  expect(await waits({ priority: 3, cafe }, instant(over))).toBeUndefined();
  expect(await waits({ priority: 4, cafe: null }, lunch)).toBeUndefined();
  await store.close();
});
