import { existsSync, mkdirSync, mkdtempSync, readdirSync, symlinkSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { keepPhotos } from '../../src/cafe/kept-files.ts';
import { personId } from '../../src/chat/who.ts';
import { createFiles, type Files } from '../../src/store/files.ts';
import { housekeep, KEPT } from '../../src/store/housekeeping.ts';
import { createIds } from '../../src/store/id.ts';
import type { Store } from '../../src/store/store.ts';
import { SAFE_AGE, sweepFiles } from '../../src/store/sweep-files.ts';
import { read, transact } from '../../src/store/transact.ts';
import { instant, later } from '../../src/time/instant.ts';
import { atLanternStreet } from '../delivery/fixture.ts';
import { databases } from './databases.ts';

const NOW = instant(Date.parse('2027-03-09T12:00:00Z'));
const photo = { name: 'x', kind: 'image/png', size: 4, fetch: async () => new Uint8Array([137, 80, 78, 71]) };
const mia = { id: personId('mia'), name: 'Mia', roles: [], manages: false };

/** As if it had been written so many milliseconds ago. */
const aged = (file: string, by: number): void => {
  const then = new Date(Date.now() - by);
  utimesSync(file, then, then);
};

const keep = (store: Store, files: Files, cafe: string): Promise<readonly string[]> => keepPhotos({ store, ids: createIds(), files }, { cafe, about: 'job', ref: 'o1' }, mia, NOW, [photo]);

const opened = async (open: () => Promise<Store>): Promise<{ readonly store: Store; readonly cafe: string; readonly folder: string; readonly home: string; readonly files: Files }> => {
  const store = await open();
  const { cafe } = await atLanternStreet(store);
  const folder = mkdtempSync(join(tmpdir(), 'sweep-'));
  return { store, cafe, folder, home: join(folder, cafe), files: createFiles(folder) };
};

describe.each(databases)('files a crash left behind, on the $name database', ({ open }) => {
  test('what no row names goes once it is an hour old; what a row names, or is young, stays', async () => {
    const { store, cafe, home, files } = await opened(open);
    const [named = ''] = await keep(store, files, cafe);
    await files.keep(cafe, 'lost', new Uint8Array([1]));
    await files.keep(cafe, 'fresh', new Uint8Array([1]));
    writeFileSync(join(home, 'cut.half'), 'x');
    writeFileSync(join(home, 'fresh2.half'), 'x');
    for (const name of [named, 'lost', 'cut.half']) aged(join(home, name), SAFE_AGE + 60_000);
    for (const name of ['fresh', 'fresh2.half']) aged(join(home, name), SAFE_AGE - 60_000);
    expect(await sweepFiles(store, files)).toBe(2);
    expect(readdirSync(home).sort()).toEqual([named, 'fresh', 'fresh2.half'].sort());
    expect(await sweepFiles(store, files)).toBe(0);
    await store.close();
  });

  test('a death between the bytes and the row leaves a file, and the sweep finds it', async () => {
    const { store, cafe, home, files } = await opened(open);
    // The process dies as the row would be written: the bytes lie there whole.
    const dies: Files = { ...files, keep: async (...given) => { await files.keep(...given); throw new Error('killed'); } };
    await expect(keep(store, dies, cafe)).rejects.toThrow('killed');
    const [left = ''] = readdirSync(home);
    expect(await sweepFiles(store, files)).toBe(0);
    aged(join(home, left), SAFE_AGE + 1000);
    expect([await sweepFiles(store, files), readdirSync(home)]).toEqual([1, []]);
    await store.close();
  });

  test('a row written while the sweep looks around saves its file', async () => {
    const { store, cafe, home, files } = await opened(open);
    const [id = ''] = await keep(store, files, cafe);
    aged(join(home, id), SAFE_AGE + 1000);
    const row = await read(store, (tx) => tx.selectFrom('kept_file').selectAll().executeTakeFirstOrThrow());
    await transact(store, [cafe], (tx) => tx.deleteFrom('kept_file').execute());
    const late: Files = { ...files, lying: async (which) => { const found = await files.lying(which); await transact(store, [cafe], (tx) => tx.insertInto('kept_file').values(row).execute()); return found; } };
    expect([await sweepFiles(store, late), readdirSync(home)]).toEqual([0, [id]]);
    await store.close();
  });

  test('what was not written here is not touched: other names, folders, links, cafés of another database', async () => {
    const { store, cafe, folder, home, files } = await opened(open);
    mkdirSync(join(home, 'folder'), { recursive: true });
    mkdirSync(join(folder, 'elsewhere'));
    writeFileSync(join(home, 'notes.txt'), 'x');
    writeFileSync(join(folder, 'elsewhere', 'theirs'), 'x');
    symlinkSync(join(folder, 'elsewhere', 'theirs'), join(home, 'link'));
    for (const file of [join(home, 'notes.txt'), join(folder, 'elsewhere', 'theirs')]) aged(file, 10 * SAFE_AGE);
    expect(await sweepFiles(store, files)).toBe(0);
    expect([readdirSync(home).sort(), existsSync(join(folder, 'elsewhere', 'theirs'))]).toEqual([['folder', 'link', 'notes.txt'], true]);
    expect(cafe).not.toBe('elsewhere');
    await store.close();
  });

  test('a café taken out whose files a crash kept loses them the next time', async () => {
    const { store, cafe, folder, files } = await opened(open);
    await keep(store, files, cafe);
    await transact(store, [cafe], (tx) => tx.updateTable('cafe').set({ state: 'gone', removed_at: NOW }).execute());
    const past = later(NOW, KEPT.gone + 1000);
    const dies: Files = { ...files, forget: async () => { throw new Error('killed'); } };
    await expect(housekeep(store, past, dies)).rejects.toThrow('killed');
    expect(readdirSync(folder)).toEqual([cafe]);
    await housekeep(store, past, files);
    expect(readdirSync(folder)).toEqual([]);
    expect(await read(store, (tx) => tx.selectFrom('note').select('key').where('key', 'like', 'files.%').execute())).toEqual([]);
    await store.close();
  });
});
