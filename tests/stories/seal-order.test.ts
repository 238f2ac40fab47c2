import { describe, expect, test } from 'vitest';
import { cafeShelf, stockOn } from '../../src/parts/records.ts';
import { read, transact } from '../../src/store/transact.ts';
import { count, seen } from './stage.ts';
import { sealFitted } from './seal-fitted.ts';
import { storedSettings } from './stages.ts';

describe.each(storedSettings)('a seal to order ($name)', ({ open }) => {
  test('both groups in one message, once; ordered, it stands on the shelf that is kept', async () => {
    const { store, stage } = await open();
    await sealFitted(store, 1, 200);
    await sealFitted(store, 2, 210);
    await stage.person('ola').says('stock: 2 screens, 1 seal 9', 'direct');
    await stage.until('tomorrow 09:00');
    const asked = await seen(stage, 'time to order', 'Ola');
    expect(asked.lines.slice(0, 2)).toEqual(['Lantern Street: time to order 2 seals.', '2 of 8\u00a0mm, for groups 1 and 2.']);
    expect(asked.lines[2]).toMatch(/^The old one is likely due about \w{3} \d+ \w{3}\.$/);
    await stage.person('ola').presses('Ordered');
    expect((await seen(stage, 'Ordered: Ola', 'Ola')).lines[0]).toBe('Ordered: Ola, Wed 10 Mar. Thanks.');
    expect(await read(store, (tx) => tx.selectFrom('stock_move').select(['kind', 'part', 'count']).where('kind', '=', 'ordered').execute())).toEqual([{ kind: 'ordered', part: 'seal-8', count: 1 }, { kind: 'ordered', part: 'seal-8', count: 1 }]);
    await stage.until('in 15 days 09:00');
    expect(await count(stage, 'time to order')).toBe(0);
    await stage.close();
  });

  test.each([{ told: 'stock + 1 seal 8', onHand: 1 }, { told: 'stock: 3 seals 8', onHand: 3 }])('what comes is no longer on its way ($told)', async ({ told, onHand }) => {
    const { store, stage } = await open();
    await sealFitted(store, 2, 210);
    await stage.person('ola').says('stock: 0 seals 8', 'direct');
    await stage.until('tomorrow 09:00');
    await stage.person('ola').presses('Ordered');
    const stock = () => read(store, async (tx) => stockOn(tx, cafeShelf((await tx.selectFrom('cafe').select('id').executeTakeFirstOrThrow()).id)));
    expect((await stock()).get('seal-8')).toMatchObject({ onHand: 0, onOrder: 1 });
    await stage.person('ola').says(told, 'direct');
    expect((await stock()).get('seal-8')).toMatchObject({ onHand, onOrder: 0 });
    await stage.close();
  });

  test('"remind me later" asks again in a week; "we have some" ends it', async () => {
    const { store, stage } = await open();
    await sealFitted(store, 2, 210);
    await stage.until('tomorrow 09:00');
    expect((await seen(stage, 'time to order', 'Ola')).lines[0]).toBe('Lantern Street: time to order a seal.');
    await stage.person('ola').presses('Remind me later');
    expect((await seen(stage, 'ask again', 'Ola')).lines[0]).toBe('I will ask again in a week.');
    expect(await count(stage, 'time to order')).toBe(0);
    await stage.until('in 8 days 12:00');
    await stage.person('ola').presses('We have some', 'time to order');
    expect((await seen(stage, 'Good, it is there', 'Ola')).lines).toContain('Shall I count them? Write: stock: 2 seals 8');
    await stage.close();
  });

  test('what lies on the shelf is not ordered, nor for a machine whose seals are the technician’s', async () => {
    for (const own of [true, false]) {
      const { store, stage } = await open();
      await sealFitted(store, 2, 210);
      if (own) await stage.person('ola').says('stock: 1 seal 8', 'direct');
      else await transact(store, [], (tx) => tx.updateTable('machine').set({ contract: 'lease' }).execute());
      await stage.until('tomorrow 09:00');
      expect(await count(stage, 'time to order')).toBe(0);
      await stage.close();
    }
  });
});
