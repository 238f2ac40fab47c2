import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { dangerInAny } from '../../src/faults/danger-words.ts';
import { readLanguages } from '../../src/faults/languages.ts';
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

test('in an English café a danger and a plain complaint in Italian are heard; English talk at the bar is no Italian danger', async () => {
  const stage = await terminalStage({ store: await embedded.open(), start: '2027-03-09T09:05:00Z' });
  await stage.person('mia').says('il gruppo di destra gocciola anche da fermo');
  expect((await seen(stage, 'Drips at rest, group 2')).buttons).toContain('Only drips');
  await stage.person('sam').says("c'è odore di bruciato dietro la macchina");
  expect((await seen(stage, '112')).lines[0]).toBe('Flames or growing smoke: everyone out, call 112.');
  await stage.close();
  const languages = readLanguages('config/faults/phrases');
  const talk = z.array(z.looseObject({ text: z.string() })).parse(JSON.parse(readFileSync('tests/faults/find/bar-chat.json', 'utf8')));
  expect(talk.length).toBeGreaterThan(50);
  expect(talk.filter(({ text }) => dangerInAny(text, languages.get('en'), [...languages.values()]) !== undefined)).toEqual([]);
});
