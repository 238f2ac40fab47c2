import { describe, expect, test } from 'vitest';
import type { Store } from '../../src/store/store.ts';
import { read, transact } from '../../src/store/transact.ts';
import { databases } from '../store/databases.ts';
import type { Stage } from './stage.ts';
import { terminalStage } from './terminal-stage.ts';

const dutyOf = (store: Store, job: string) => read(store, (tx) => tx.selectFrom('duty').select(['last_done_at', 'next_due']).where('job', '=', job).executeTakeFirstOrThrow());
const local = (ms: number | null): string => (ms === null ? 'never' : new Date(ms).toLocaleString('sv-SE', { timeZone: 'Europe/Madrid' }).slice(0, 16));

const correct = async (stage: Stage, job: string, ...form: readonly string[]): Promise<void> => {
  await stage.person('ola').commands('cafe');
  await stage.person('ola').presses('Change jobs');
  await stage.person('ola').presses('Correct a job');
  await stage.person('ola').picks(job);
  await stage.person('ola').fills(...form);
};

describe.each(databases)('a correction moves the dates that hang on it, on the $name database', ({ open }) => {
  test('a job by use: not done takes its date back, done and another time set it anew', async () => {
    const store = await open();
    const stage = await terminalStage({ store });
    // Two of this café's days of 180 coffees: due on Thursday, in the quiet hour.
    await transact(store, [], (tx) => tx.updateTable('duty').set({ use_every: 360 }).where('job', '=', 'baskets-look').execute());
    await stage.person('mia').says('counter 48210');
    await stage.until('in 2 days 15:10');
    const before = await dutyOf(store, 'baskets-look');
    expect(local(before.last_done_at)).toBe('never');
    await stage.person('sam').presses('Done: all', 'In the quiet hour');
    await stage.until('15:20');
    const done = await dutyOf(store, 'baskets-look');
    expect([local(done.last_done_at), local(done.next_due)]).toEqual(['2027-03-11 15:10', '2027-03-13 15:00']);

    await correct(stage, 'Thu 11 Mar 15:00: basket look', '2', '', '');
    await stage.until('15:30');
    const not = await dutyOf(store, 'baskets-look');
    // It stood on a list and nobody did it: it comes again in a week, and use is counted from before.
    expect([local(not.last_done_at), local(not.next_due)]).toEqual(['never', '2027-03-18 15:00']);

    await correct(stage, 'Thu 11 Mar 15:00: basket look', '1', 'Mia', '15:05');
    await stage.until('15:40');
    expect([local((await dutyOf(store, 'baskets-look')).last_done_at), local((await dutyOf(store, 'baskets-look')).next_due)]).toEqual(['2027-03-11 15:05', '2027-03-13 15:00']);
    await stage.close();
  });

  test('an older list corrected leaves what was done since', async () => {
    const store = await open();
    const stage = await terminalStage({ store });
    await stage.until('22:31');
    await stage.person('sam').presses('Done: all', 'Closing');
    await stage.until('tomorrow 22:20');
    await stage.person('mia').presses('Done: all', 'Closing');
    await correct(stage, 'Tue 9 Mar 22:00: backflush', '1', 'Mia', '22:10');
    expect(local((await dutyOf(store, 'backflush')).last_done_at)).toBe('2027-03-10 22:20');
    await correct(stage, 'Wed 10 Mar 22:00: backflush', '2', '', '');
    expect(local((await dutyOf(store, 'backflush')).last_done_at)).toBe('2027-03-09 22:10');
    await stage.close();
  });
});
