import { sql } from 'kysely';
import { describe, expect, test } from 'vitest';
import { CAFE_TABLES, forgetCafe, housekeep, KEPT } from '../../src/store/housekeeping.ts';
import { read, transact } from '../../src/store/transact.ts';
import { instant, later } from '../../src/time/instant.ts';
import { at, atLanternStreet, inBar } from '../delivery/fixture.ts';
import { databases, embedded } from './databases.ts';

test('every table with a café in it is known to the one who takes a café out', async () => {
  const store = await embedded.open();
  const names = await sql<{ name: string }>`select name from sqlite_master where type = 'table'`.execute(store.db);
  const withCafe: string[] = [];
  for (const { name } of names.rows) {
    const columns = await sql<{ name: string }>`select name from pragma_table_info(${name})`.execute(store.db);
    if (columns.rows.some((column) => column.name === 'cafe')) withCafe.push(name);
  }
  await store.close();
  expect(withCafe.filter((name) => name !== 'machine').sort()).toEqual([...CAFE_TABLES].sort());
});

describe.each(databases)('housekeeping, on the $name database', ({ open }) => {
  test('a café that removed the bot is kept for thirty days, then taken out whole', async () => {
    const store = await open();
    const { bot, clock, cafe } = await atLanternStreet(store);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    await bot.router.take(inBar('sam', { text: 'done' }));
    await transact(store, [cafe], (tx) => tx.updateTable('cafe').set({ state: 'gone', removed_at: clock.now() }).execute());
    expect(await housekeep(store, later(clock.now(), KEPT.gone - 1000))).toBe(0);
    expect(await housekeep(store, later(clock.now(), KEPT.gone + 1000))).toBe(1);
    for (const table of [...CAFE_TABLES.filter((name) => name !== 'outbox'), 'machine', 'machine_group', 'cafe'] as const)
      expect((await read(store, (tx) => tx.selectFrom(table as 'cafe').selectAll().execute())).length, table).toBe(0);
    await store.close();
  });

  test('one café goes, its neighbour stays', async () => {
    const store = await open();
    const { cafe } = await atLanternStreet(store);
    await transact(store, [], async (tx) => {
      const { id: _id, ...rest } = await tx.selectFrom('cafe').selectAll().executeTakeFirstOrThrow();
      await tx.insertInto('cafe').values({ id: 'other', ...rest }).execute();
      await tx.insertInto('member').values({ id: 'm', cafe: 'other', name: 'Jo', role: 'owner', direct_ok: 0, created_at: 0 }).execute();
    });
    await transact(store, [cafe], (tx) => forgetCafe(tx, cafe));
    expect(await read(store, (tx) => tx.selectFrom('member').select('cafe').execute())).toEqual([{ cafe: 'other' }]);
    await store.close();
  });

  test('ids of events and messages long shown go, fresh ones stay', async () => {
    const store = await open();
    const now = instant(Date.parse('2027-06-01T00:00:00Z'));
    await transact(store, [], (tx) => tx.insertInto('seen').values([{ id: 'old', at: now - KEPT.seen - 1 }, { id: 'new', at: now - 1 }]).execute());
    await housekeep(store, now);
    expect(await read(store, (tx) => tx.selectFrom('seen').select('id').execute())).toEqual([{ id: 'new' }]);
    await store.close();
  });
});
