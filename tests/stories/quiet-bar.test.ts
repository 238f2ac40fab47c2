import { expect, test } from 'vitest';
import { writeSpans } from '../../src/cafe/calendar.ts';
import { transact } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { count, seen } from './stage.ts';
import { terminalStage } from './terminal-stage.ts';

test('after seven closings without a word the owner is asked once, in private, and nobody is named', async () => {
  const stage = await terminalStage({ store: await embedded.open() });
  await stage.until('in 9 days 12:00');
  const asked = await seen(stage, 'no word on the last 7 closing lists', 'Ola');
  expect(asked.lines).toEqual(['Lantern Street: no word on the last 7 closing lists.', 'Would fewer jobs, another time or a pause fit better?']);
  await stage.until('in 4 days 12:00');
  expect(await count(stage, 'no word on the last')).toBe(1);
  await stage.person('ola').presses('Leave it as it is');
  await stage.close();
});

test('one word in a week, and the owner is not asked', async () => {
  const stage = await terminalStage({ store: await embedded.open() });
  await stage.until('in 3 days 22:10');
  await stage.person('sam').replies('Closing', 'done');
  await stage.until('in 6 days 12:00');
  expect(await count(stage, 'no word on the last')).toBe(0);
  await stage.close();
});

test('nothing rings in the rush: a list that falls into it comes when it is over', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  const evening = [{ from: 21 * 60 + 45, to: 22 * 60 + 15 }];
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ rush: writeSpans([evening, evening, evening, evening, evening, evening, evening]) }).execute());
  await stage.until('22:10');
  expect(await count(stage, 'Closing')).toBe(0);
  await stage.until('22:15');
  expect((await seen(stage, 'Closing')).lines[0]).toBe('Closing, groups 1 and 2:');
  await stage.close();
});
