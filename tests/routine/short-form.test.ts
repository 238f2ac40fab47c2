import { expect, test } from 'vitest';
import { formFor, type Closing } from '../../src/routine/short-form.ts';
import { days, instant, later } from '../../src/time/instant.ts';
import { transact } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { count, seen } from '../stories/stage.ts';
import { terminalStage } from '../stories/terminal-stage.ts';

const NOW = instant(Date.parse('2026-10-15T03:30:00Z'));
const nights = (from: number, to: number, names: (night: number) => readonly string[]): readonly Closing[] => Array.from({ length: from - to }, (_, i) => ({ at: later(NOW, -days(from - i)), names: names(from - i) }));

test('four weeks of answers make it short, three do not', () => {
  expect(formFor(nights(30, 0, () => ['Mia']), NOW)).toBe('short');
  expect(formFor(nights(21, 0, () => ['Mia']), NOW)).toBe('long');
  expect(formFor(nights(30, 0, (night) => (night % 4 === 0 ? [] : ['Mia'])), NOW)).toBe('long');
});

test('half the names new, and it is long again', () => {
  const before = nights(56, 28, () => ['Mia', 'Sam']);
  expect(formFor([...before, ...nights(28, 0, (night) => (night % 2 ? ['Mia'] : ['Lina']))], NOW)).toBe('long');
  expect(formFor([...before, ...nights(28, 0, (night) => (night % 3 ? ['Mia', 'Sam'] : ['Lina']))], NOW)).toBe('short');
});

test('a short list is one line, with every job a press away; a silent word goes before it', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ list_form: 'short', nudge_minutes: 30 }).execute());
  await stage.until('tomorrow 21:40');
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ list_form: 'short' }).execute());
  expect((await seen(stage, 'Closing list at')).lines).toEqual(['Closing list at 22:00: 4 jobs.']);
  await stage.until('22:00');
  const list = await seen(stage, 'the usual 4 jobs');
  expect(list.lines).toEqual(['Closing, groups 1 and 2: the usual 4 jobs']);
  expect(list.buttons).toEqual(['Done: all', 'Show all jobs']);
  await stage.person('mia').presses('Show all jobs');
  expect(await count(stage, 'Backflush, rinse till clear')).toBeGreaterThan(0);
  expect(await count(stage, 'the usual 4 jobs')).toBe(0);
  await stage.close();
});
