import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { embedded } from '../store/databases.ts';
import { settings } from './stages.ts';
import { terminalStage } from './terminal-stage.ts';

describe.each(settings)('closing ($name)', ({ open }) => {
  test('a tired "done" at 22:31 closes the everyday jobs and asks about the one that ends later', async () => {
    const stage = await open();
    await stage.until('22:00');
    expect((await seen(stage, 'Closing')).lines).toEqual(['Closing, groups 1 and 2:', '1 Backflush, rinse till clear   2 Brush seals, wipe rims', '3 Soak baskets, 20 min   4 Wands, tray, drain']);
    await stage.until('22:31');
    await stage.person('sam').replies('Closing', 'done');
    expect((await seen(stage, 'Thanks, Sam')).lines).toEqual(['Thanks, Sam. 1, 2 and 4 done, 22:31.', '3, the baskets: out of the soak and rinsed?']);
    await stage.person('sam').presses('Not started', 'Thanks, Sam');
    expect((await seen(stage, 'Thanks, Sam')).lines[1]).toBe('Fine, 3 stays over tonight. It comes round again.');
    expect((await seen(stage, 'Closing')).lines).toEqual(['Closing, groups 1 and 2: 3 of 4 done, 22:31, Sam', 'Done: 1 backflush, 2 seals and rims, 4 wands, tray, drain', 'Left over: 3 soak']);
    await stage.until('tomorrow 7:35');
    expect(await count(stage, 'in detergent')).toBe(0);
    await stage.close();
  });

  test('still soaking at night is said loudly before the first coffee', async () => {
    const stage = await open();
    await stage.until('22:31');
    await stage.person('sam').says('done');
    await stage.person('sam').presses('Still soaking');
    await stage.until('tomorrow 7:30');
    expect((await seen(stage, 'Before the first coffee')).lines[0]).toBe('Before the first coffee: baskets may be in detergent.');
    await stage.person('mia').presses('Rinsed');
    expect((await seen(stage, 'Rinsed, 07:30')).lines[0]).toContain('Mia');
    await stage.close();
  });

  test('said done, never said to be out of the soak: warned before each opening until somebody has rinsed', async () => {
    const stage = await open();
    await stage.until('22:31');
    await stage.person('sam').says('done');
    await stage.until('tomorrow 7:31');
    expect((await seen(stage, 'Before the first coffee')).lines).toEqual(['Before the first coffee: baskets may be in detergent.', 'Gloves on, lift out, rinse well under the tap.']);
    await stage.until('tomorrow 7:31');
    expect(await count(stage, 'Before the first coffee')).toBe(2);
    expect((await seen(stage, 'Thanks, Sam')).lines).toEqual(['Thanks, Sam. 1, 2 and 4 done, 22:31.', 'Fine, 3 stays over tonight. It comes round again.']);
    await stage.person('lina').presses('Rinsed');
    expect((await seen(stage, 'Thanks, Sam')).lines).toEqual(['Thanks, Sam. All 4 done, 22:31.']);
    await stage.until('tomorrow 7:31');
    expect(await count(stage, 'Before the first coffee')).toBe(1);
    await stage.close();
  });

  test('a soak and a backflush taken back are warned of; done again and rinsed, they are not', async () => {
    const stage = await open();
    await stage.until('22:31');
    await stage.person('sam').presses('Done: all');
    await stage.person('sam').presses('Still soaking');
    await stage.person('sam').presses('Take back');
    await stage.until('tomorrow 7:31');
    expect((await seen(stage, 'detergent may be in the groups')).lines[1]).toBe('Backflush each group with plain water until it runs clear.');
    expect(await count(stage, 'baskets may be in detergent')).toBe(1);
    await stage.until('22:31');
    await stage.person('mia').presses('Done: all', 'Closing, groups 1 and 2:');
    await stage.person('mia').presses('Out and rinsed');
    await stage.until('tomorrow 7:31');
    expect(await count(stage, 'Before the first coffee')).toBe(2);
    await stage.close();
  });

  test('a double press, a second "done" and a restart leave one record and one list', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').presses('Done: all');
    await stage.restart();
    await stage.person('mia').says('done');
    expect((await seen(stage, 'Already done')).lines).toEqual(['Already done: 22:05, Sam. Thanks all the same.']);
    expect(await count(stage, 'Closing, groups')).toBe(1);
    await stage.close();
  });
});

test('two lists open: the one chosen is thanked for, and the question is gone', async () => {
  const stage = await terminalStage({ store: await embedded.open(), start: '2027-03-11T05:20:00Z' });
  await stage.until('7:45');
  await stage.person('mia').says('done');
  await stage.person('mia').presses('Opening 07:30');
  expect((await seen(stage, 'Thanks, Mia')).buttons).toEqual(['Take back']);
  expect(await count(stage, 'Which one is done?')).toBe(0);
  await stage.close();
});
