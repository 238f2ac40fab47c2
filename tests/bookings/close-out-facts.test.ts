import { describe, expect, test } from 'vitest';
import type { Fitted } from '../../src/bookings/closed.ts';
import { writeFitted } from '../../src/bookings/machine-record.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import { readMachineFacts } from '../../src/cafe/machine-facts.ts';
import { createIds } from '../../src/store/id.ts';
import { read, transact } from '../../src/store/transact.ts';
import { instant } from '../../src/time/instant.ts';
import { databases } from '../store/databases.ts';

const at = instant(Date.parse('2027-03-11T10:00:00Z'));

describe.each(databases)('what a close-out says of the seals reaches the machine ($name)', (database) => {
  const house = async () => {
    const store = await database.open();
    const ids = createIds();
    const cafe = (await transact(store, [], (tx) => seedDemo(tx, ids, at, async () => undefined))) ?? '';
    const machine = (await read(store, (tx) => tx.selectFrom('machine').select('id').executeTakeFirstOrThrow())).id;
    const close = (parts: Fitted['parts'], id = 'visit') =>
      transact(store, [cafe], (tx) => writeFitted(ids)(tx, { id, cafe, machine, group: null, parts, report: {}, by: 'Ana', person: null, at }, at));
    const facts = async () => readMachineFacts((await read(store, (tx) => tx.selectFrom('machine').select('facts').executeTakeFirstOrThrow())).facts);
    return { store, close, facts };
  };

  test('once both groups have the new size it is the machine\u2019s; with one of them it is not yet', async () => {
    const { store, close, facts } = await house();
    await close([{ part: 'seal-8.5', count: 1, group: 1 }]);
    expect((await facts()).seal).toBe(8);
    await close([{ part: 'seal-8.5', count: 1, group: 1 }, { part: 'seal-8.5', count: 1, group: 2 }]);
    expect((await facts()).seal).toBe(8.5);
    await store.close();
  });

  test('no shim is made up where the technician named none', async () => {
    const { store, close, facts } = await house();
    await close([{ part: 'seal-8.5', count: 1, group: 1 }, { part: 'seal-8.5', count: 1, group: 2 }]);
    expect((await facts()).shim).toBeUndefined();
    await store.close();
  });
});
