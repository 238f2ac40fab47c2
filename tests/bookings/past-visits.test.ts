import { describe, expect, test } from 'vitest';
import { usualDelay } from '../../src/bookings/past-visits.ts';
import { read, transact } from '../../src/store/transact.ts';
import { databases } from '../store/databases.ts';

const MINUTE = 60_000;

describe.each(databases)('how long a technician usually takes ($name)', ({ open }) => {
  test('the middle of finished visits for faults; too few say nothing, other cafés and services do not count', async () => {
    const store = await open();
    const add = (n: number, wait: number | null, more: { readonly cafe?: string; readonly about?: string; readonly state?: string } = {}) =>
      transact(store, ['a'], async (tx) => {
        const at = 1_800_000_000_000 + n * 86_400_000;
        const row = {
          id: `b${n}`, cafe: 'a', case_id: null, danger_id: null, machine: null, about: 'fault', state: 'finished', technician: null, starts_at: wait === null ? null : at + wait * MINUTE, ends_at: null, level: 'normal', people: 0, visit_by: at,
          booking: '{}', told: 0, draft: null, report: '{}', by_person: null, by_name: '', created_at: at, updated_at: at, rev: 0,
        };
        await tx.insertInto('booking').values({ ...row, ...more }).execute();
      });
    await add(1, 600);
    await add(2, 100);
    expect(await read(store, (tx) => usualDelay(tx, 'a'))).toBeUndefined();
    await add(3, 5000, { about: 'yearly service' });
    await add(4, 5000, { state: 'called off' });
    await add(5, null);
    await add(6, 5, { cafe: 'b' });
    expect(await read(store, (tx) => usualDelay(tx, 'a'))).toBeUndefined();
    await add(7, 2000);
    expect(await read(store, (tx) => usualDelay(tx, 'a'))).toBe(600);
    await store.close();
  });
});
