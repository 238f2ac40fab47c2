import { describe, expect, test } from 'vitest';
import { seedDemo } from '../../../src/cafe/demo.ts';
import { cafeById, machinesOf } from '../../../src/cafe/records.ts';
import { createReckoner } from '../../../src/seals/record-reckon.ts';
import { createIds, type Ids } from '../../../src/store/id.ts';
import type { Store, Tx } from '../../../src/store/store.ts';
import { transact } from '../../../src/store/transact.ts';
import { instant } from '../../../src/time/instant.ts';
import { databases } from '../../store/databases.ts';
import { assumed } from '../assumed.ts';

const DAY = 86_400_000;
const NOW = instant(Date.parse('2027-03-09T20:58:30Z'));
const LIVES = 120;
const SHORT_DAYS = 45;

/** Another café whose seals all came out broken after six weeks. */
const shortLived = async (tx: Tx, ids: Ids, together: number): Promise<void> => {
  const first = await tx.selectFrom('cafe').selectAll().executeTakeFirstOrThrow();
  const cafe = ids(NOW);
  const machine = ids(NOW);
  await tx.insertInto('cafe').values({ ...first, id: cafe, name: 'Harbour', place: null, learn_together: together }).execute();
  await tx.insertInto('machine').values({ id: machine, cafe, groups: 2, kind: 'HX', lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains', contract: 'own', state: 'in use', facts: '{}', created_at: NOW - LIVES * SHORT_DAYS * DAY }).execute();
  for (const number of [1, 2]) await tx.insertInto('machine_group').values({ id: ids(NOW), machine, number, state: 'in use', residue: 'clear' }).execute();
  await tx.insertInto('seal_fitting').values(Array.from({ length: LIVES }, (_, i) => {
    const fitted = NOW - (Math.floor(i / 2) + 1) * SHORT_DAYS * DAY;
    return { id: ids(NOW), cafe, machine, group_number: 1 + (i % 2), part: 'seal', fitted_at: fitted, met_at: fitted, out_at: fitted + SHORT_DAYS * DAY, size_mm: 8, outside_mm: null, inside_mm: null, profile: null, material: 'rubber', side_up: null, shim_mm: 0, fixing: null, why_out: 'due', came_out: 'bad', by_person: null, by_name: '', at: fitted, superseded_by: null };
  })).execute();
};

/** Median days that a seal in the first café has left. */
const leftIn = async (store: Store, ids: Ids, mine: number, theirs: number): Promise<number> =>
  transact(store, [], async (tx) => {
    const id = (await seedDemo(tx, ids, NOW, async () => undefined)) ?? '';
    await tx.updateTable('cafe').set({ learn_together: mine }).execute();
    await shortLived(tx, ids, theirs);
    const cafe = await cafeById(tx, id);
    const [machine] = await machinesOf(tx, id);
    if (!cafe || !machine) throw new Error('the demo has a café with a machine');
    const found = await createReckoner(assumed).forecastFor(tx, cafe, machine, 1, NOW);
    return found?.left.medianDays ?? 0;
  });

describe.each(databases)('cafés that learn together ($name)', ({ open }) => {
  test('short lives elsewhere shorten a forecast only where both cafés agreed', async () => {
    const left: number[] = [];
    for (const [mine, theirs] of [[1, 1], [1, 0], [0, 1]] as const) {
      const store = await open();
      left.push(await leftIn(store, createIds(), mine, theirs));
      await store.close();
    }
    const [both = 0, onlyMine = 0, onlyTheirs = 0] = left;
    expect(onlyMine).toBeCloseTo(onlyTheirs, 6);
    expect(both).toBeLessThan(0.9 * onlyMine);
  });

  test('a due date comes with the size to order and by when; a group out of use has none', async () => {
    const store = await open();
    await transact(store, [], async (tx) => {
      const ids = createIds();
      const id = (await seedDemo(tx, ids, NOW, async () => undefined)) ?? '';
      const cafe = await cafeById(tx, id);
      const [machine] = await machinesOf(tx, id);
      if (!cafe || !machine) throw new Error('the demo has a café with a machine');
      const reckoner = createReckoner(assumed);
      const due = await reckoner.forecastFor(tx, cafe, machine, 1, NOW);
      expect(due?.order.size).toMatchObject({ sealMm: 8, shimMm: 0 });
      expect(due?.order.by).toBe(Math.max(NOW, (due?.due ?? 0) - assumed.change.deliveryDays * DAY));
      expect(['seal', 'handle', 'longest-time']).toContain(due?.reason);
      await tx.updateTable('machine_group').set({ state: 'out of use' }).where('machine', '=', machine.id).where('number', '=', 1).execute();
      expect(await reckoner.forecastFor(tx, cafe, machine, 1, NOW)).toBeUndefined();
      expect((await reckoner.forecastFor(tx, cafe, machine, 2, NOW))?.due).toBeGreaterThan(0);
    });
    await store.close();
  });
});
