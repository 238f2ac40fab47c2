import { expect, test } from 'vitest';
import { seedDemo } from '../../src/cafe/demo.ts';
import { groupsOf, machinesOf, rolesIn, cafesAt, techniciansOf } from '../../src/cafe/records.ts';
import { channel, personId } from '../../src/chat/who.ts';
import { createIds } from '../../src/store/id.ts';
import { openStore } from '../../src/store/open.ts';
import { transact } from '../../src/store/transact.ts';
import { instant } from '../../src/time/instant.ts';

const NOW = instant(Date.parse('2027-03-09T20:58:30Z'));

test('the invented café is written once, whole, and goes live in the same step', async () => {
  const store = await openStore({});
  const ids = createIds();
  const live: string[] = [];
  const seed = (): Promise<string | undefined> => transact(store, [], (tx) => seedDemo(tx, ids, NOW, async (_tx, cafe) => void live.push(cafe)));
  const id = await seed();
  expect(await seed()).toBeUndefined();
  expect(live).toEqual([id]);
  await transact(store, [], async (tx) => {
    const [cafe] = await cafesAt(tx, channel('bar'));
    if (!cafe) throw new Error('no café');
    expect(cafe).toMatchObject({ id, name: 'Lantern Street', state: 'live', step: null, emergency: '112', breaker: null });
    const [machine] = await machinesOf(tx, cafe.id);
    expect(machine).toMatchObject({ groups: 2, lever: 'no', exhaust: 'yes', kind: 'HX' });
    expect((await groupsOf(tx, machine?.id ?? '')).map(({ number }) => number)).toEqual([1, 2]);
    expect((await techniciansOf(tx, cafe.id)).map(({ name, telephone, place }) => [name, telephone, place])).toEqual([['Ana', '555 0134', 'p.ana']]);
    const as = async (id: string, roles: string[]): Promise<readonly string[]> => rolesIn(tx, cafe, { id: personId(id), name: id, roles, manages: false });
    expect(await as('ola', [])).toEqual(['owner']);
    expect(await as('sam', ['bar'])).toEqual(['bar']);
    expect(await as('ana', [])).toEqual(['technician']);
    expect(await as('stranger', [])).toEqual([]);
  });
  await store.close();
});
