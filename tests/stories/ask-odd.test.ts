import { describe, expect, test } from 'vitest';
import { read } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { answerAll } from './ask-questions.ts';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';
import { terminalStage } from './terminal-stage.ts';

describe.each(settings)('questions with a turn in them ($name)', ({ open }) => {
  test('a complaint this machine cannot have is answered with what it can have, never with a stumble', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('ola').says('the lever of group 1 is stiff and squeaks', 'direct');
    expect(await count(stage, 'stumbled')).toBe(0);
    const last = (await stage.messages()).at(-1);
    expect(last?.lines.join('\n')).toMatch(/Which of these is nearest|Tell me what you see/);
    await stage.close();
  });

  test('praise opens no questions, and what nobody named is never asked about again', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('mia').says('all good here, thanks', 'direct');
    expect((await stage.messages()).at(-1)?.lines).toEqual(['Good to hear. The lists stay as they are.']);
    await stage.person('ola').says('something is off with the coffee machine', 'direct');
    expect((await seen(stage, 'Which of these is nearest?', 'Ola')).buttons).toContain('None of these');
    await stage.until('tomorrow 16:00');
    expect(await count(stage, 'Still open')).toBe(0);
    expect((await seen(stage, 'Left at that', 'Ola')).buttons).toEqual([]);
    await stage.close();
  });

  test('what the lists have on record is not asked again, and stands among the reasons', async () => {
    const stage = await open({ start: '2027-03-09T20:30:00Z' });
    await stage.until('22:31');
    await stage.person('sam').says('done');
    await stage.until('tomorrow 10:05');
    await stage.person('mia').says('group 1 handle spits when i take it off');
    const asked = await answerAll(stage, 'mia', ['Weak', 'Yes, as usual', 'Yes', 'Clean']);
    expect(asked.length).toBeGreaterThan(0);
    expect(asked.join('\n')).not.toContain('When was the last backflush with detergent?');
    await stage.person('mia').presses('Why?');
    expect((await stage.messages()).map(({ lines }) => lines.join('\n')).join('\n')).toContain('last detergent backflush this week');
    await stage.close();
  });

  test('plain talk begins no questions in either language, and what was done gets a kind word', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    for (const text of ['put new beans in the left grinder', 'turned the machine off, going home', 'ho spento la macchina e vado a casa']) {
      await stage.person('ola').says(text, 'direct');
      expect((await stage.messages()).at(-1)?.lines).toEqual(['Good to hear. The lists stay as they are.']);
    }
    await stage.person('ola').says('can i turn it off at night', 'direct');
    expect(await count(stage, 'Got it.')).toBe(0);
    await stage.close();
  });

  test('an answer typed by somebody else after the question was answered changes nothing', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('mia').says('right one keeps dripping even when nobody brews');
    await stage.person('mia').presses('Only drips');
    const second = (await stage.messages()).findLast(({ buttons }) => buttons.includes('Back'))?.lines ?? [];
    await stage.person('sam').says('only drips');
    expect((await stage.messages()).findLast(({ buttons }) => buttons.includes('Back'))?.lines).toEqual(second);
    await stage.close();
  });
});

test('taken out of use with its card the group counts as out, and the case stays open', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: '2027-03-09T09:05:00Z' });
  const mia = stage.person('mia');
  await mia.says('right one keeps dripping even when nobody brews');
  await answerAll(stage, 'mia', ['Only drips', 'Every second', 'Screen', 'Screen, top']);
  await mia.says('how do I take a group out of use');
  await mia.presses('Start it');
  await mia.presses('Group 2');
  for (let i = 0; i < 2; i++) await mia.presses('Next');
  const card = await seen(stage, 'Take a group out of use, group 2', '#bar');
  await mia.presses(card.buttons[0] ?? '');
  const done = await seen(stage, 'Take a group out of use, group 2', '#bar');
  if (!done.lines.join(' ').includes('Noted')) await mia.presses(done.buttons[0] ?? '');
  expect(await count(stage, 'Fixed: Drips at rest')).toBe(0);
  const groups = await read(store, (tx) => tx.selectFrom('machine_group').select(['number', 'state']).orderBy('number').execute());
  expect(groups).toEqual([{ number: 1, state: 'in use' }, { number: 2, state: 'out of use' }]);
  await stage.close();
});

test('where nobody knows anything, no cause that is hardly likely is named, and nothing is called a try under a booking', async () => {
  const stage = await terminalStage({ store: await embedded.open(), start: '2027-03-09T09:05:00Z' });
  await stage.person('mia').says('the pump makes a strange noise and nothing comes from both groups');
  await stage.person('mia').presses('Noise');
  await answerAll(stage, 'mia', []);
  expect((await seen(stage, 'Book the technician', '#bar')).lines).toEqual(['Book the technician. I cannot tell from here what it is.', 'Nobody could say this yet, so no hands at it:', 'Burning smell, smoke, crackle, a hot plug?', 'Stop and tell me if it sprays or reaches electrics.']);
  await stage.close();
});

test('a puddle at the front of a dry-plugged machine ends at the tray, without a hunt for hoses', async () => {
  const stage = await terminalStage({ store: await embedded.open(), start: '2027-03-09T10:05:00Z' });
  await stage.person('mia').says('theres a puddle under the machine');
  const asked = await answerAll(stage, 'mia', ['All dry', 'No', 'Front, at the tray', 'Water in the tray']);
  expect(asked.length).toBeLessThanOrEqual(5);
  const verdict = await seen(stage, 'Bar job', '#bar');
  expect(verdict.lines[0]).toBe('Bar job: seat the tray, wipe, look again, 3 min.');
  expect(verdict.lines.at(-1)).toBe('If it gets worse, or does not help, stop and tell me.');
  expect(verdict.lines.join(' ')).not.toMatch(/Why: (no|yes)\b/);
  await stage.close();
});

test.each([
  ['{"seal":8}', "On lease: the lessor's technician is asked first."],
  ['{"seal":8,"contractWho":"Nadia, 555 01 18"}', 'On lease: first ask Nadia, 555 01 18.'],
])('a leased machine: the verdict says who is asked first, by name where the owner has said it (%s)', async (facts, expected) => {
  const store = await embedded.open();
  const stage = await terminalStage({ store, start: '2027-03-09T09:05:00Z' });
  await store.db.updateTable('machine').set({ contract: 'lease', facts }).execute();
  await stage.person('mia').says('right one keeps dripping even when nobody brews');
  await answerAll(stage, 'mia', ['Only drips', 'Still there']);
  expect((await stage.messages()).findLast(({ buttons }) => buttons.includes('Why?'))?.lines).toContain(expected);
  await stage.close();
});
