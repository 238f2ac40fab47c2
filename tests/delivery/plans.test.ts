import { CompiledQuery } from 'kysely';
import { expect, test } from 'vitest';
import { openStore } from '../../src/store/open.ts';
import { transact } from '../../src/store/transact.ts';
import { at, atLanternStreet } from './fixture.ts';

/** Tables that grow with the number of cafés: the tick must never read one from end to end. */
const BIG = ['duty', 'outbox', 'timer', 'occurrence', 'reminder', 'seen'];

test('no query of the tick and the sender reads a growing table from end to end', async () => {
  let watching = false;
  const asked = new Map<string, readonly unknown[]>();
  const store = await openStore({ watch: (query, parameters) => void (watching && /^(select|update|delete)/.test(query) && asked.set(query, parameters)) });
  const { bot, clock } = await atLanternStreet(store);
  watching = true;
  for (const utc of ['2027-03-09T21:00:05Z', '2027-03-10T07:00:00Z', '2027-03-11T15:00:00Z']) {
    at(clock, utc);
    await bot.tick(clock.now());
    await bot.sender.drain();
  }
  watching = false;
  expect(asked.size).toBeGreaterThan(10);
  const scans: string[] = [];
  await transact(store, [], async (tx) => {
    for (const [query, parameters] of asked) {
      const plan = await tx.executeQuery<{ detail: string }>(CompiledQuery.raw(`explain query plan ${query}`, [...parameters]));
      for (const { detail } of plan.rows) if (BIG.some((table) => new RegExp(`^SCAN "?${table}"?(?!.*USING (COVERING )?INDEX)`).test(detail))) scans.push(`${detail}: ${query}`);
    }
  });
  expect(scans).toEqual([]);
  await store.close();
});
