import { describe, expect, test } from 'vitest';
import type { SealHow } from '../../src/bookings/booking-state.ts';
import type { Fitted } from '../../src/bookings/closed.ts';
import { writeFitted } from '../../src/bookings/fitted-record.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import { readMachineFacts } from '../../src/cafe/machine-facts.ts';
import { machineById } from '../../src/cafe/records.ts';
import { leadBelief } from '../../src/seals/lead.ts';
import { leadEvidenceOf } from '../../src/seals/record-forecast.ts';
import { fitRingsOf, groupRecordOf } from '../../src/seals/record-evidence.ts';
import { fittingIn, historyOf, recordOf } from '../../src/seals/records.ts';
import { createIds } from '../../src/store/id.ts';
import { read, transact } from '../../src/store/transact.ts';
import { days, instant, later } from '../../src/time/instant.ts';
import { assumed } from '../seals/assumed.ts';
import { databases } from '../store/databases.ts';

const at = instant(Date.parse('2027-03-11T10:00:00Z'));

describe.each(databases)('what a close-out says of the seals reaches the machine ($name)', (database) => {
  const house = async () => {
    const store = await database.open();
    const ids = createIds();
    const cafe = (await transact(store, [], (tx) => seedDemo(tx, ids, at, async () => undefined))) ?? '';
    const machine = (await read(store, (tx) => tx.selectFrom('machine').select('id').executeTakeFirstOrThrow())).id;
    const close = (parts: Fitted['parts'], more: Partial<Fitted> = {}) =>
      transact(store, [cafe], (tx) => writeFitted(ids)(tx, { id: 'visit', cafe, machine, group: null, parts, cause: 'seal-worn', leaked: true, report: {}, by: 'Ana', person: null, at, ...more }, at));
    const record = (all = false) => read(store, (tx) => recordOf(tx, machine, all));
    const history = async (group: number) => read(store, async (tx) => {
      const row = await machineById(tx, machine);
      return row && historyOf(row, await recordOf(tx, machine), group);
    });
    const facts = async () => readMachineFacts((await read(store, (tx) => tx.selectFrom('machine').select('facts').executeTakeFirstOrThrow())).facts);
    return { store, close, facts, record, history };
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

  const up: SealHow = { sideUp: 'up', shimMm: 0.5, material: 'silicone' };

  test('side, shim and stuff stand in the group\u2019s record, and the next size and the life are reckoned from them', async () => {
    const { store, close, facts, record, history } = await house();
    await close([{ part: 'seal-8', count: 1, group: 2, how: up }]);
    expect(fittingIn(await record(), 2, 'seal')).toMatchObject({ size_mm: 8, side_up: 'up', shim_mm: 0.5, material: 'silicone', by_name: 'Ana' });
    const group = await history(2);
    if (!group) throw new Error('no such group');
    expect(fitRingsOf(group, at).at(-1)).toMatchObject({ sealMm: 8, shimMm: 0.5, material: 'silicone', found: false });
    const { finished, current } = groupRecordOf(group, (material) => (material === 'silicone' ? 0.5 : 1), at);
    expect([finished.map(({ end }) => end.kind), current?.pace]).toEqual([['leaked'], 0.5]);
    await close([{ part: 'seal-8', count: 2, group: null, how: up }]);
    expect(await facts()).toMatchObject({ seal: 8, shim: 0.5 });
    await store.close();
  });

  test('a correction of side or shim keeps the old line; said again the same, nothing is written', async () => {
    const { store, close, record } = await house();
    const lines = async () => (await record(true)).fittings.filter(({ fitted_at }) => fitted_at !== null).map((row) => [row.side_up, row.shim_mm, row.superseded_by === null]);
    await close([{ part: 'seal-8', count: 1, group: 2, how: up }]);
    await close([{ part: 'seal-8', count: 1, group: 2, how: up }]);
    expect(await lines()).toEqual([['up', 0.5, true]]);
    await close([{ part: 'seal-8', count: 1, group: 2, how: { ...up, sideUp: 'down', shimMm: 0 } }]);
    expect(await lines()).toEqual([['up', 0.5, false], ['down', 0, true]]);
    expect((await record()).fittings.filter(({ out_at }) => out_at === null)).toHaveLength(1);
    await store.close();
  });

  test('a screen goes into its group with how it is held, comes out again with a correction, and the old one is back', async () => {
    const { store, close, record } = await house();
    await close([{ part: 'screen', count: 1, group: 1 }], { id: 'earlier', at: later(at, -days(90)) });
    await close([{ part: 'screen', count: 2, group: null }]);
    const inside = async () => [fittingIn(await record(), 1, 'screen')?.id, fittingIn(await record(), 2, 'screen')?.id];
    expect(await inside()).toEqual(['visit.screen.1', 'visit.screen.2']);
    expect((await record()).fittings.find(({ id }) => id === 'earlier.screen.1')?.out_at).toBe(at);
    await close([]);
    expect(await inside()).toEqual(['earlier.screen.1', undefined]);
    expect((await record(true)).fittings.filter(({ superseded_by }) => superseded_by !== null).map(({ id }) => id)).toEqual(['visit.screen.1', 'visit.screen.2']);
    await store.close();
  });

  test('why the old seal came out follows the cause: worn without a leak, or changed while it was good', async () => {
    const { store, close, record, history } = await house();
    const parts = [{ part: 'seal-8', count: 1, group: 2 }];
    const ends = async (): Promise<unknown> => {
      const group = await history(2);
      return group && groupRecordOf(group, () => 1, at).finished.map(({ end }) => ('found' in end ? [end.kind, end.found] : [end.kind]));
    };
    await close(parts, { leaked: false });
    expect(await ends()).toEqual([['changed', 'bad']]);
    await close(parts, { cause: 'seal-too-thin', leaked: true });
    expect(await ends()).toEqual([['changed', 'not-looked']]);
    await close([]);
    expect(await ends()).toEqual([]);
    await close(parts);
    expect(await ends()).toEqual([['leaked']]);
    expect((await record()).fittings.filter(({ group_number }) => group_number === 2)).toHaveLength(2);
    await store.close();
  });

  test('a lead that was measured counts for the sizes of its group, and a correction replaces it', async () => {
    const { store, close, record, history } = await house();
    const leadOf = async (group: number): Promise<number> => {
      const known = await history(group);
      return leadBelief(known ? leadEvidenceOf(known, assumed, at) : [], [], assumed).medianMm;
    };
    const before = await leadOf(2);
    await close([], { group: 2, report: { leads: [9] } });
    expect(await leadOf(2)).toBeLessThan(before - 1.5);
    expect(await leadOf(1)).toBe(before);
    await close([], { group: 2, report: { leads: [15, 14.5] } });
    expect((await record()).readings.filter(({ what }) => what === 'lead').map(({ group_number, value }) => [group_number, value])).toEqual([[1, '15'], [2, '14.5']]);
    expect(await leadOf(2)).toBeGreaterThan(before + 1);
    await store.close();
  });

  test('the handle read with the new seal is a reading of the new one alone', async () => {
    const { store, close, history } = await house();
    await close([{ part: 'seal-8', count: 1, group: 2 }], { id: 'earlier', at: later(at, -days(90)) });
    await close([{ part: 'seal-8', count: 1, group: 2 }], { report: { hours: ['6', '6:30'] } });
    const group = await history(2);
    if (!group) throw new Error('no such group');
    expect(fitRingsOf(group, at).map(({ readings }) => readings.length)).toEqual([0, 0, 1]);
    await store.close();
  });
});
