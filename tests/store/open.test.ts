import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { sql } from 'kysely';
import { describe, expect, test } from 'vitest';
import { openStore } from '../../src/store/open.ts';
import { StoreTrouble } from '../../src/store/store.ts';

const folder = (): string => mkdtempSync(join(tmpdir(), 'store-'));
const troubleOf = async (promise: Promise<unknown>): Promise<string> => {
  try {
    await promise;
    return 'none';
  } catch (error) {
    return error instanceof StoreTrouble ? error.trouble : String(error);
  }
};

describe('opening', () => {
  test('a folder in use is refused, and free again when its owner has gone', async () => {
    const place = folder();
    const first = await openStore({ folder: place });
    expect(await troubleOf(openStore({ folder: place }))).toBe('in-use');
    await first.close();
    const second = await openStore({ folder: place });
    await second.close();
  });
  test('a database of a newer program is left untouched', async () => {
    const place = folder();
    const store = await openStore({ folder: place });
    await sql`insert into migration (name) values ('999-later')`.execute(store.db);
    await store.close();
    const before = readFileSync(join(place, 'grouphand.sqlite'));
    expect(await troubleOf(openStore({ folder: place }))).toBe('newer');
    expect(readFileSync(join(place, 'grouphand.sqlite')).equals(before)).toBe(true);
  });
  test('a file that is no database is told as one', async () => {
    const place = folder();
    writeFileSync(join(place, 'grouphand.sqlite'), 'not a database, but long enough to be looked at as if it were one'.repeat(100));
    expect(await troubleOf(openStore({ folder: place }))).toBe('unreadable');
  });
  test('a server that does not answer is told as one', async () => {
    expect(await troubleOf(openStore({ url: 'postgres://nobody@127.0.0.1:1/none' }))).toBe('unreachable');
  });
  test('opening twice applies nothing twice', async () => {
    const place = folder();
    await (await openStore({ folder: place })).close();
    const store = await openStore({ folder: place });
    const rows = await sql<{ name: string }>`select name from migration`.execute(store.db);
    expect(new Set(rows.rows.map(({ name }) => name)).size).toBe(rows.rows.length);
    await store.close();
  });
});
