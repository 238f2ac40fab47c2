import { describe, expect, test } from 'vitest';
import { read } from '../../src/store/transact.ts';
import type { Store } from '../../src/store/store.ts';
import { count, seen, type Stage } from './stage.ts';
import { storedSettings } from './stages.ts';

const WRONG = "Something's wrong";

/** Sam at the second screen of a hot card, on group 1. */
const atTheRim = async (stage: Stage): Promise<void> => {
  await stage.until('tomorrow 15:10');
  const sam = stage.person('sam');
  await sam.says('how do I clean the rim');
  await sam.presses('Start it');
  await sam.presses('Group 1');
  await sam.presses('Ready');
  await sam.presses(WRONG);
};

/** Ola, who says that she was shown it, behind the cautions of a card on group 2, in the morning. */
const onColdGroup = async (stage: Stage, asks: string, first: readonly string[]): Promise<void> => {
  await stage.until('22:05');
  await stage.person('sam').says('done');
  await stage.until('tomorrow 06:20');
  const ola = stage.person('ola');
  await ola.says(asks);
  for (const label of first) await ola.presses(label);
  await ola.presses('Group 2');
  await ola.presses('I have been shown');
  await ola.presses('Read on');
  await ola.presses('Off cool no pressure');
};

const groupTwo = (store: Store) => read(store, async (tx) => (await tx.selectFrom('machine_group').select('state').where('number', '=', 2).executeTakeFirstOrThrow()).state);
const cases = (store: Store) => read(store, (tx) => tx.selectFrom('fault_case').selectAll().orderBy('id').execute());

describe.each(storedSettings)('something is wrong in a card ($name)', ({ open }) => {
  test('danger is asked first; then the questions begin with what is nearest there, the group and the machine known', async () => {
    const { store, stage } = await open();
    await atTheRim(stage);
    expect((await seen(stage, 'what is wrong?', '#bar')).buttons).toEqual(['Danger', 'Ask me questions', 'Back to the card']);
    await stage.person('sam').presses('Ask me questions');
    expect((await seen(stage, 'Which of these is nearest?', '#bar')).buttons).toEqual(['Rim leaks', 'One group slow', 'Bits in the cup', 'None of these', 'Leave it']);
    expect((await seen(stage, 'Clean rim, lugs and seal, group 1: paused', '#bar')).buttons).toEqual(['Go on', 'Leave it', WRONG]);
    await stage.person('sam').presses('One group slow');
    expect((await seen(stage, 'One group slow, group 1. Got it.', '#bar')).buttons).toContain("Don't know");
    expect(await count(stage, 'Which group?')).toBe(0);
    expect((await cases(store)).map(({ group_number, machine_state, complaint }) => [group_number, machine_state, complaint])).toEqual([[1, 'hot', 'Clean rim, lugs and seal, group 1, screen 2']]);
    await stage.close();
  });

  test('none of the three is right: words name it, and the group stays known', async () => {
    const { store, stage } = await open();
    await atTheRim(stage);
    await stage.person('sam').presses('Ask me questions');
    await stage.person('sam').says('it keeps dripping even when nobody brews');
    expect((await seen(stage, 'Drips at rest, group 1', '#bar')).buttons).toContain("Don't know");
    expect(await count(stage, 'Which of these is nearest?')).toBe(0);
    expect((await cases(store)).map(({ symptom }) => symptom)).toEqual(['drip-at-rest']);
    await stage.close();
  });

  test('a ring that will not come out: the card ends open and off, the group is left alone, a technician can be booked', async () => {
    const { store, stage } = await open();
    await onColdGroup(stage, 'how do I fit the right seal size', ['I have']);
    const ola = stage.person('ola');
    await ola.presses('Next');
    await ola.presses(WRONG);
    expect((await seen(stage, 'what is wrong?', '#bar')).buttons).toEqual(['Danger', 'Stuck or broken', 'Ask me questions', 'Back to the card']);
    await ola.presses('Stuck or broken');
    expect((await seen(stage, 'group 2: stuck or broken', '#bar'))).toMatchObject({
      lines: ['Fit the right seal size, group 2: stuck or broken, 06:20', 'Leave it as it is. This one is for a technician.', 'Leave a note on the machine: do not switch on.', 'Ana, 555 0134.'],
      buttons: ['Book technician', 'It is whole again'],
    });
    expect((await seen(stage, 'Job stuck, group 2. Needs Ana.')).only).toBe('Ola');
    expect(await groupTwo(store)).toBe('out of use');
    await ola.presses('Book technician', 'stuck or broken');
    expect(await count(stage, 'Job stuck, group 2. Needs Ana.')).toBe(2);
    expect((await cases(store)).map(({ symptom, group_number }) => [symptom, group_number])).toEqual([['card-stuck', 2]]);
    await stage.until('07:30');
    expect((await seen(stage, 'You open at', '#bar')).lines[0]).toContain('Fit the right seal size, group 2');
    await stage.close();
  });

  test('the handle stands far left with another size: the group is left alone, what went in is asked, a technician can be booked', async () => {
    const { store, stage } = await open();
    await onColdGroup(stage, 'how do I fit the right seal size', ['I have']);
    const ola = stage.person('ola');
    for (let step = 0; step < 8; step++) await ola.presses('Next');
    await ola.presses('Ready');
    await stage.until('07:10');
    await ola.presses('Next', 'time is up');
    await ola.presses('Next');
    await ola.presses('Next');
    await ola.presses('Stands far left', '14 of 14');
    const ended = await seen(stage, 'group 2: Stands far left', '#bar');
    expect(ended.lines.slice(1)).toEqual(['Leave it as it is. This one is for a technician.', 'Ana, 555 0134.']);
    expect(ended.buttons).toEqual(['Book technician']);
    expect(await groupTwo(store)).toBe('out of use');
    expect(await count(stage, 'Group 2: which seal went in?')).toBe(1);
    await ola.presses('Book technician', 'Stands far left');
    expect((await seen(stage, 'Hard to lock, group 2. Needs Ana.')).only).toBe('Ola');
    await stage.close();
  });
});
