import { expect, test } from 'vitest';
import { embedded } from '../store/databases.ts';
import { count, seen } from './stage.ts';
import { terminalStage } from './terminal-stage.ts';

test('while the machine must stay off nobody is asked to run it, and everyone is told so once a day', async () => {
  const stage = await terminalStage({ store: await embedded.open() });
  await stage.until('21:59');
  await stage.person('sam').says('smells like burning behind the machine');
  await stage.person('sam').presses('It is off');
  await stage.person('sam').presses('All fine');
  await stage.until('22:05');
  expect((await seen(stage, 'Closing')).lines).toEqual(['Closing, groups 1 and 2:', '1 Soak baskets, 20 min']);
  await stage.until('tomorrow 7:45');
  expect(await count(stage, 'Water open, gauge in band')).toBe(0);
  expect((await seen(stage, 'The machine must stay off')).lines[1]).toContain('Burning smell or smoke');
  expect(await count(stage, 'The machine must stay off')).toBe(2);
  await stage.close();
});
