import { expect, test } from 'vitest';
import { transact } from '../../src/store/transact.ts';
import { instant } from '../../src/time/instant.ts';
import { embedded } from '../store/databases.ts';
import { at, atLanternStreet } from '../delivery/fixture.ts';

test('a café that moves to another zone keeps its local times', async () => {
  const store = await embedded.open();
  const { bot, cafe, clock } = await atLanternStreet(store);
  const closingsAt = async (): Promise<readonly string[]> =>
    (await transact(store, [], (tx) => tx.selectFrom('duty').select('next_due').where('job', '=', 'backflush').execute())).map(({ next_due }) => new Date(instant(next_due ?? 0)).toISOString());
  at(clock, '2027-03-10T09:00:00Z');
  await bot.tick(clock.now());
  expect(await closingsAt()).toEqual(['2027-03-10T21:00:00.000Z']);
  await transact(store, [cafe], async (tx) => {
    await tx.updateTable('cafe').set({ zone: 'Atlantic/Canary' }).where('id', '=', cafe).execute();
    await bot.onLive(tx, cafe, clock.now());
  });
  expect(await closingsAt()).toEqual(['2027-03-10T22:00:00.000Z']);
  // Both zones put their clocks forward on 28 March: 22:00 there is an hour earlier by the world's clock.
  at(clock, '2027-03-28T09:00:00Z');
  for (let round = 0; round < 3; round++) await bot.tick(clock.now());
  expect(await closingsAt()).toEqual(['2027-03-28T21:00:00.000Z']);
  await store.close();
});
