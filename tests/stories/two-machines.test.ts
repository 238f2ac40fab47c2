import { describe, expect, test } from 'vitest';
import { seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

/** Bought later than the first: machines are counted in the order they came. */
const secondMachine = async (stage: Stage): Promise<void> => {
  await stage.until('1m');
  await stage.person('ola').says('add a second machine', 'direct');
  await stage.person('ola').presses('2', 'how many groups');
};

describe.each(settings)('a café with two machines ($name)', ({ open }) => {
  test('the list, its single jobs and the record say which machine', async () => {
    const stage = await open();
    await secondMachine(stage);
    await stage.until('22:05');
    const list = await seen(stage, 'Closing, machines 1 and 2', '#bar');
    expect(list.lines.join(' ')).toContain('seals and rims M1');
    expect(list.lines.join(' ')).toContain('seals and rims M2');
    await stage.person('sam').presses('Done: some', 'Closing, machines');
    await stage.person('sam').picks('2 seals and rims M1');
    expect((await seen(stage, 'Closing, machines 1 and 2: 1 of', '#bar')).lines.join(' ')).toContain('Done: 2 seals and rims M1');
    await stage.person('ola').says('which seal do I order?', 'direct');
    expect((await seen(stage, 'Group 2 M2', 'Ola')).buttons).toContain('Group 1 M1');
    await stage.close();
  });

  test('"not for us" names the machine, to the bar, to the owner and when it is taken out', async () => {
    const stage = await open();
    await secondMachine(stage);
    await stage.until('22:05');
    await stage.person('mia').presses("Can't", 'Closing');
    await stage.person('mia').presses('Not for us');
    await stage.person('mia').picks('2 seals and rims M1');
    expect((await seen(stage, 'I ask the owner')).lines[0]).toBe('I ask the owner about seals and rims M1.');
    expect((await seen(stage, 'is not for you', 'Ola')).lines[0]).toBe('Mia says "seals and rims M1" is not for you.');
    await stage.person('ola').presses('Take it out', 'is not for you');
    expect((await seen(stage, 'Taken out of the lists', 'Ola')).lines[0]).toBe('Taken out of the lists: seals and rims M1.');
    await stage.close();
  });

  test('a complaint is asked which machine it is about, once, and never where it says so or may be a danger', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await secondMachine(stage);
    await stage.person('mia').says('right one keeps dripping even when nobody brews');
    expect((await seen(stage, 'Which machine is it?', '#bar')).buttons).toEqual(['Machine 1', 'Machine 2']);
    await stage.person('mia').presses('Machine 2');
    expect((await seen(stage, 'Drips at rest, group 2, M2', '#bar')).buttons).toContain('Only drips');
    await stage.person('mia').presses('Leave it');
    await stage.person('mia').says('the wand of machine 1 drips');
    expect((await seen(stage, 'Wand drips, M1', '#bar')).buttons.length).toBeGreaterThan(1);
    await stage.person('mia').presses('Leave it', 'Wand drips, M1');
    await stage.person('sam').says('the steam wand is blocked');
    await stage.person('sam').says('the second');
    expect((await seen(stage, 'Weak steam, M2', '#bar')).buttons.length).toBeGreaterThan(1);
    await stage.close();
  });
});
