import { expect, test } from 'vitest';
import { transact } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { seen } from './stage.ts';
import { terminalStage } from './terminal-stage.ts';

test('un bar italiano: la lista, la risposta e il ringraziamento nella sua lingua', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ language: 'it' }).execute());
  await stage.until('22:00');
  expect((await seen(stage, 'Chiusura')).lines).toEqual(['Chiusura, gruppi 1 e 2:', '1 Controlavaggio, sciacquare   2 Guarnizioni e bordi', '3 Ammollo filtri, 20 min   4 Lance, vaschetta, scarico']);
  await stage.person('sam').says('tutto fatto tranne ammollo');
  expect((await seen(stage, 'Grazie, Sam')).lines[0]).toBe('Grazie, Sam. 1, 2 e 4 fatti, 22:00.');
  await stage.person('sam').says('done');
  expect((await seen(stage, 'i filtri')).buttons[0]).toBe('Fuori e sciacquati');
  await stage.close();
});
