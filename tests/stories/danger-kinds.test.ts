import { describe, expect, test } from 'vitest';
import { read } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { answerAll } from './ask-questions.ts';
import { seen } from './stage.ts';
import { settings } from './stages.ts';
import { terminalStage } from './terminal-stage.ts';

const START = '2027-03-09T09:05:00Z';

describe.each(settings)('what is said of a danger fits its kind ($name)', ({ open }) => {
  test('someone burnt: looked after or not well, never "it has stopped"', async () => {
    const stage = await open({ start: START });
    const sam = stage.person('sam');
    await sam.says('sam burned his hand on the wand');
    await sam.presses('Someone is hurt');
    await sam.presses('All fine');
    expect((await seen(stage, 'Stay with them. Worse', '#bar')).buttons).toEqual(['Is looked after', 'Not well yet']);
    await sam.presses('Not well yet');
    expect((await seen(stage, 'Stay with them. I cannot telephone', '#bar')).buttons).toEqual(['Is looked after']);
    await stage.close();
  });
});

test('a handle that may fly on a named group takes out that group alone', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: START });
  await stage.person('mia').says('the handle of group 2 pops off under pressure');
  expect((await seen(stage, 'Leave that group alone', '#bar')).buttons[0]).toBe('Group is left alone');
  await stage.person('mia').presses('Group is left alone');
  expect((await seen(stage, 'That group stays out of use', '#bar')).lines[0]).toContain('The others may go on');
  expect(await read(store, (tx) => tx.selectFrom('machine').select('state').executeTakeFirstOrThrow())).toEqual({ state: 'in use' });
  expect(await read(store, (tx) => tx.selectFrom('machine_group').select(['number', 'state']).orderBy('number').execute())).toEqual([{ number: 1, state: 'in use' }, { number: 2, state: 'out of use' }]);
  await stage.close();
});

test('detergent in a known group is rinsed out by the bar: nobody is called, and the group serves again once it runs clear', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: START });
  const mia = stage.person('mia');
  const groups = () => read(store, (tx) => tx.selectFrom('machine_group').select('state').orderBy('number').execute());
  await mia.says('coffee tastes of soap, left group');
  await mia.presses('Group is left alone');
  await mia.presses('All fine');
  const steps = await seen(stage, 'Serve nothing from it until it is rinsed clean.', '#bar');
  expect(steps).toMatchObject({ lines: ['Serve nothing from it until it is rinsed clean.', 'Ola knows.'], buttons: ['Rinse it out', 'All thrown away', 'Some was served'] });
  await mia.presses('All thrown away');
  expect((await seen(stage, 'That group stays out of use', '#bar')).buttons).toEqual(['Rinse it out']);
  await mia.presses('Rinse it out');
  for (const button of ['Read on', 'Ready', 'Next', 'Next', 'Next', 'Next', 'Next']) await mia.presses(button, 'Rinse detergent out');
  expect(await groups()).toEqual([{ state: 'out of use' }, { state: 'in use' }]);
  await mia.presses('Clear', 'Rinse detergent out');
  expect(await groups()).toEqual([{ state: 'in use' }, { state: 'in use' }]);
  expect((await seen(stage, 'Rinsed clean.', '#bar')).buttons).toEqual([]);
  expect((await seen(stage, 'Detergent where it must not be', 'Ola')).lines.at(-1)).toBe('It was rinsed out. The group serves again.');
  expect((await stage.messages()).filter(({ place }) => place === 'Ana')).toEqual([]);
  await stage.close();
});

test('a group that stood still before, for another reason, is rinsed and stays so', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: START });
  const mia = stage.person('mia');
  await store.db.updateTable('machine_group').set({ state: 'out of use' }).where('number', '=', 1).execute();
  await mia.says('coffee tastes of soap, left group');
  await mia.presses('Group is left alone');
  await mia.presses('All fine');
  await mia.presses('Rinse it out');
  for (const button of ['Read on', 'Ready', 'Next', 'Next', 'Next', 'Next', 'Next']) await mia.presses(button, 'Rinse detergent out');
  await mia.presses('Clear', 'Rinse detergent out');
  expect(await read(store, (tx) => tx.selectFrom('machine_group').select('state').orderBy('number').execute())).toEqual([{ state: 'out of use' }, { state: 'in use' }]);
  expect((await seen(stage, 'Rinsed clean.', '#bar')).lines).toEqual(['Rinsed clean. It was out of use before, and stays so.']);
  await stage.close();
});

test('nobody said which group: each can be pressed, and only that one stands still', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: START });
  await stage.person('mia').says('nothing came out and now the handle hisses when i loosen it');
  expect((await seen(stage, 'Leave that group alone', '#bar')).buttons).toEqual(['Group 1 left alone', 'Group 2 left alone', 'It is off', 'Someone is hurt', 'False alarm']);
  await stage.person('mia').presses('Group 2 left alone');
  expect((await seen(stage, 'That group stays out of use', '#bar')).buttons).toEqual(['All fine', 'Someone is hurt']);
  expect(await read(store, (tx) => tx.selectFrom('machine').select('state').executeTakeFirstOrThrow())).toEqual({ state: 'in use' });
  expect(await read(store, (tx) => tx.selectFrom('machine_group').select(['number', 'state']).orderBy('number').execute())).toEqual([{ number: 1, state: 'in use' }, { number: 2, state: 'out of use' }]);
  await stage.close();
});

test('a danger picked from a list shows its steps like one told in words', async () => {
  const stage = await terminalStage({ store: await embedded.open(), start: START });
  await stage.person('ola').says("steam doesn't work", 'direct');
  await stage.person('ola').presses('Cannot be shut');
  expect((await seen(stage, 'Touch no valve', '#bar')).buttons).toContain('False alarm');
  await stage.close();
});

test('a stop that only follows from answers shows the steps, marks the machine, and is no false alarm', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: START });
  await stage.person('mia').says('the machine is completely dead, no lights');
  await answerAll(stage, 'mia', ['It must be held', 'Only held']);
  const stop = await seen(stage, 'Stop. It must stay off', '#bar');
  expect(stop.buttons).not.toContain('Fixed');
  expect(stop.lines[1]).toMatch(/^I cannot rule out /);
  const [danger] = await read(store, (tx) => tx.selectFrom('danger').select(['reckoned', 'kind', 'case_id']).execute());
  expect(danger).toMatchObject({ reckoned: 1, kind: 'electric' });
  expect(await read(store, (tx) => tx.selectFrom('machine').select('state').executeTakeFirstOrThrow())).toEqual({ state: 'must stay off' });
  // The owner hears of it without anybody pressing anything.
  const owner = await seen(stage, 'It follows from the answers', 'Ola');
  expect(owner.lines.slice(-2)).toEqual(['It follows from the answers. It is marked: must stay off.', 'I do not know yet whether it is off. Please telephone them.']);
  expect(owner.buttons).toContain('Free it, in writing');
  expect((await seen(stage, 'OFF. Else stay away.', '#bar')).buttons).toEqual(['It is off', 'Someone is hurt', "Can't reach it"]);
  await stage.person('mia').says('can we switch it on again');
  expect((await seen(stage, 'Please leave it off', '#bar')).lines[0]).toBe('No. Please leave it off until a technician says so.');
  await stage.close();
});
