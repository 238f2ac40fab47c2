import { describe, expect, test } from 'vitest';
import { message } from '../../src/chat/message.ts';
import { placeId } from '../../src/chat/who.ts';
import { createIds } from '../../src/store/id.ts';
import { createHistory } from '../../src/terminal/history.ts';
import { instant } from '../../src/time/instant.ts';
import { databases } from '../store/databases.ts';

describe.each(databases)('what the practice chat has shown, on the $name database', ({ open }) => {
  test('thirty messages kept at once get thirty letters, and the letter finds its message', async () => {
    const store = await open();
    const history = createHistory(store, createIds());
    const at = instant(Date.parse('2027-03-09T20:58:30Z'));
    const kept = await Promise.all(Array.from({ length: 30 }, (_, i) => history.keep({ place: placeId('bar'), nonce: `n${i}`, message: message([`number ${i}`]), at })));
    expect(new Set(kept.map(({ entry }) => entry.tag)).size).toBe(30);
    for (const { entry } of kept) expect((await history.byTag(entry.tag))?.id).toBe(entry.id);
    await store.close();
  });

  test('one with the nonce of another is found again instead', async () => {
    const store = await open();
    const history = createHistory(store, createIds());
    const one = { place: placeId('bar'), nonce: 'same', message: message(['once']), at: instant(Date.parse('2027-03-09T20:58:30Z')) };
    const [first, second] = await Promise.all([history.keep(one), history.keep(one)]);
    expect([first.fresh, second.fresh, second.entry.id]).toEqual([true, false, first.entry.id]);
    await store.close();
  });
});
