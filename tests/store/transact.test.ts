import { afterEach, describe, expect, test } from 'vitest';
import { insideTransaction } from '../../src/store/guard.ts';
import { createIds } from '../../src/store/id.ts';
import type { Store, Tx } from '../../src/store/store.ts';
import { read, transact, transactFree } from '../../src/store/transact.ts';
import { instant } from '../../src/time/instant.ts';
import { databases } from './databases.ts';

const opened: Store[] = [];
afterEach(async () => {
  for (const store of opened.splice(0)) await store.close();
});

const note = async (tx: Tx, key: string): Promise<number> => Number((await tx.selectFrom('note').select('value').where('key', '=', key).executeTakeFirst())?.value ?? 0);
const setNote = async (tx: Tx, key: string, value: number): Promise<void> => {
  await tx.insertInto('note').values({ key, value: String(value) }).onConflict((conflict) => conflict.column('key').doUpdateSet({ value: String(value) })).execute();
};

const insertCafe = async (store: Store, id: string): Promise<void> => {
  await transact(store, [], async (tx) => {
    await tx.insertInto('cafe').values({ id, name: id, town: 't', zone: 'Europe/Madrid', language: 'en', state: 'live', exceptions: '[]', cleaning_before: 30, money: '{}', loud_danger: 0, learn_together: 0, rev: 0, created_at: 0 }).execute();
  });
};

describe.each(databases)('the one door, on the $name database', ({ open }) => {
  const fresh = async (): Promise<Store> => {
    const store = await open();
    opened.push(store);
    return store;
  };

  test('50 interleaved read-decide-write of one café lose nothing', async () => {
    const store = await fresh();
    await insertCafe(store, 'a');
    await Promise.all(Array.from({ length: 50 }, () => transact(store, ['a'], async (tx) => {
      const before = await note(tx, 'count');
      await new Promise((resolve) => setImmediate(resolve));
      await setNote(tx, 'count', before + 1);
    })));
    expect(await read(store, (tx) => note(tx, 'count'))).toBe(50);
  });

  test('an error undoes everything written in it', async () => {
    const store = await fresh();
    await expect(transact(store, [], async (tx) => {
      await setNote(tx, 'x', 1);
      throw new Error('no');
    })).rejects.toThrow('no');
    expect(await read(store, (tx) => note(tx, 'x'))).toBe(0);
  });

  test('a query beside the open transaction is refused, not hung and not let out', async () => {
    const store = await fresh();
    await expect(transact(store, [], async () => store.db.selectFrom('note').selectAll().execute())).rejects.toThrow('outside the open transaction');
    await expect(transact(store, [], async () => transact(store, [], async () => 1))).rejects.toThrow('outside the open transaction');
    expect(insideTransaction()).toBe(false);
    expect(await read(store, (tx) => note(tx, 'x'))).toBe(0);
  });

  test('the tick takes only cafés that nobody holds', async () => {
    const store = await fresh();
    await insertCafe(store, 'a');
    await insertCafe(store, 'b');
    let let_go = (): void => undefined;
    const held = new Promise<void>((resolve) => (let_go = resolve));
    let inside = (): void => undefined;
    const begun = new Promise<void>((resolve) => (inside = resolve));
    const press = transact(store, ['a'], async () => {
      inside();
      await held;
    });
    await begun;
    const tick = transactFree(store, ['a', 'b'], async (_tx, taken) => taken);
    if (store.dialect === 'server') expect(await tick).toEqual(['b']);
    let_go();
    await press;
    if (store.dialect === 'embedded') expect(await tick).toEqual(['a', 'b']);
  });

  test('ids of one process are in order and never twice', () => {
    const ids = createIds();
    const made = Array.from({ length: 2000 }, (_, i) => ids(instant(1_700_000_000_000 + Math.floor(i / 100))));
    expect(new Set(made).size).toBe(2000);
    expect([...made].sort()).toEqual(made);
  });

  test('a whole number above 2^53 is an error, not a wrong number', async () => {
    const store = await fresh();
    await transact(store, [], async (tx) => {
      await tx.insertInto('seen').values({ id: 'x', at: Number.MAX_SAFE_INTEGER }).execute();
    });
    expect((await read(store, (tx) => tx.selectFrom('seen').selectAll().executeTakeFirstOrThrow())).at).toBe(Number.MAX_SAFE_INTEGER);
  });
});
