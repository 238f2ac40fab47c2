import { expect, test } from 'vitest';
import { transact } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { count, seen } from './stage.ts';
import { terminalStage } from './terminal-stage.ts';

test('a counter typed in words is noted and names the job it moves; a slip is asked about and left out', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  await stage.person('mia').says('counter 48210');
  const noted = await seen(stage, 'Counter noted: 48,210 coffees.');
  expect(noted.lines[1]).toMatch(/^Next by use: basket look, about \w{3} \d+ \w{3}\.$/);
  await stage.until('in 7 days 12:00');
  await stage.person('sam').says('counter 4821');
  const asked = await seen(stage, 'is less than the 48,210');
  expect(asked.buttons).toEqual(['It began anew', 'Earlier one is wrong', 'A slip of mine']);
  await stage.person('sam').presses('A slip of mine');
  expect(await count(stage, 'Left out. Nothing has changed.')).toBe(1);
  await stage.person('sam').says('counter 482100');
  expect((await seen(stage, 'Is 482,100 coffees right?')).buttons).toEqual(['Yes, it is', 'A slip of mine']);
  await stage.person('sam').presses('A slip of mine');
  const before = noted.lines[1];
  // Six open days at 700 a day: far more than the usual 200.
  await stage.person('sam').says('counter 52410');
  const after = (await seen(stage, 'Counter noted: 52,410 coffees.')).lines[1];
  expect(after).not.toBe(before);
  expect(await transact(store, [], (tx) => tx.selectFrom('counter_reading').select('value').where('state', '=', 'counts').orderBy('at').execute())).toEqual([{ value: 48_210 }, { value: 52_410 }]);
  await stage.close();
});

test('a seal that is due by its forecast stands on a cold list with its group', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  await transact(store, [], async (tx) => {
    const machine = await tx.selectFrom('machine').selectAll().executeTakeFirstOrThrow();
    await tx.insertInto('seal_fitting').values({ id: 'f1', cafe: machine.cafe, machine: machine.id, group_number: 2, part: 'seal', fitted_at: machine.created_at - 200 * 86_400_000, met_at: machine.created_at, size_mm: 8, material: 'rubber', by_name: 'Ola', at: machine.created_at }).execute();
  });
  await stage.until('in 8 days 12:00');
  const list = await seen(stage, 'new seal, group 2').catch(() => seen(stage, 'New seal, machine cold, group 2'));
  expect(list.lines[0]).toContain('Before switching on');
  expect(await count(stage, 'new seal, group 1')).toBe(0);
  await stage.close();
});

test('a closing list does not name a group that is out of use', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  await transact(store, [], (tx) => tx.updateTable('machine_group').set({ state: 'out of use' }).where('number', '=', 2).execute());
  await stage.until('22:00');
  expect((await seen(stage, 'Closing')).lines[0]).toBe('Closing, group 1:');
  await stage.close();
});
