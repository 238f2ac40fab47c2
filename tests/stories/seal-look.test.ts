import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

/** Mia at the cold machine on a Thursday morning, the look begun by words. */
const begin = async (stage: Stage): Promise<void> => {
  await stage.until('22:05');
  await stage.person('sam').says('done');
  await stage.until('tomorrow 07:20');
  await stage.person('mia').says('seal look');
  await stage.person('mia').presses('Start', 'Seal look, one minute');
};

const answer = async (stage: Stage, labels: readonly string[]): Promise<void> => {
  for (const label of labels) await stage.person('mia').presses(label);
};

describe.each(settings)('the weekly look at the seals ($name)', ({ open }) => {
  test('two groups in seven taps: one kept, one that is hard, black and far right to be changed, with its reasons and a morning', async () => {
    const stage = await open();
    await begin(stage);
    expect(await seen(stage, 'Is the machine off and cold')).toMatchObject({ only: 'Mia', buttons: ['Off and cold', 'It is on'] });
    await answer(stage, ['Off and cold']);
    expect(await seen(stage, 'Group 1 (left)')).toMatchObject({ only: 'Mia', lines: ['Group 1 (left): lock the empty handle snug, no force.', 'Where does it point, seen from above?'], buttons: ['Left', 'Bit left', 'Straight', 'Bit right', 'Right', 'Against its stop', 'Not read'] });
    await answer(stage, ['Bit left', 'Soft', 'Clean']);
    expect((await seen(stage, 'Group 2 (right)')).lines[0]).toMatch(/^Group 1: keep\. Next look /);
    await answer(stage, ['Right', 'Hard', 'Black']);
    expect((await seen(stage, 'The verdict stands in the channel')).only).toBe('Mia');
    const result = await seen(stage, 'Seals looked at, 07:20, Mia.', '#bar');
    expect(result.lines).toHaveLength(3);
    expect(result.lines[2]).toBe('Group 2: change this week. Same size: 8\u00a0mm, no shim.');
    expect(result.buttons).toEqual(['Plan the change', 'Why?', 'Correct answer']);
    expect(result.files.join(' ')).toContain('sizes-group-2.png');
    await stage.person('ola').says('what is fitted?');
    expect((await seen(stage, 'Fitted at Lantern Street', '#bar')).lines[2]).toBe('Group 2: 8\u00a0mm, no shim. Change this week.');
    await answer(stage, ['Why?']);
    const why = (await stage.messages()).findLast(({ only, lines }) => only === 'Mia' && lines.join(' ').includes('worn, not too thin'));
    expect(why?.lines.join('\n')).toContain('The handle crept right: worn, not too thin.');
    await stage.person('mia').presses('Plan the change');
    expect((await seen(stage, 'Which morning')).lines).toEqual(['Group 2: about 25 minutes, machine off and cold.', 'Have ready: 8\u00a0mm, no shim.', 'Which morning, before switching on?']);
    await stage.person('mia').presses('Thu 11 Mar 06:30');
    expect(await count(stage, 'Planned: seal of group 2, Thu 11 Mar 06:30.')).toBe(1);
    await stage.until('22:05');
    await stage.person('sam').says('done');
    await stage.until('tomorrow 06:30');
    expect((await seen(stage, 'Seal of group 2: the change is planned for now.', '#bar')).buttons).toEqual(['Start the card']);
    await stage.close();
  });

  test('a wrong tap is corrected: the verdict changes where it stands, and the old answer stays on record', async () => {
    const stage = await open();
    await begin(stage);
    await answer(stage, ['Off and cold', 'Bit left', 'Soft', 'Clean', 'Left', 'To my right', 'Soft', 'Clean']);
    expect((await seen(stage, 'Seals looked at', '#bar')).lines[2]).toBe('Group 2: out of use now. Its handle may blow out.');
    await stage.person('sam').presses('Correct answer');
    await stage.person('sam').picks('Group 2, handle: Left');
    await stage.person('sam').presses('Bit left', 'Group 2, once more');
    expect(await count(stage, 'The old answer stays on record.')).toBe(1);
    expect((await seen(stage, 'Seals looked at', '#bar')).lines[2]).toMatch(/^Group 2: keep\./);
    expect(await count(stage, 'Seals looked at')).toBe(1);
    await stage.close();
  });

  test('a handle pushed to the left: asked where it could not stand, read the other way round, and said so in words', async () => {
    const stage = await open();
    await begin(stage);
    await answer(stage, ['Off and cold', 'Left']);
    expect(await seen(stage, 'which way do you push the handle')).toMatchObject({ only: 'Mia', buttons: ['To my right', 'To my left', 'Not sure'] });
    await answer(stage, ['To my left', 'Soft', 'Clean', 'Right', 'Soft', 'Clean']);
    const result = await seen(stage, 'Seals looked at', '#bar');
    expect(result.lines[1]).not.toContain('out of use');
    expect(result.lines[2]).toMatch(/^Group 2: order/);
    expect(await count(stage, 'which way do you push')).toBe(0);
    await stage.person('ola').says('what is fitted?');
    await stage.person('ola').presses('Group 2', 'Fitted at');
    await stage.person('ola').presses('Closing side');
    expect((await seen(stage, 'I take it that its handle is pushed to the right')).buttons).toEqual(['To my right', 'To my left', 'Back']);
    await stage.person('ola').presses('To my left', 'I take it');
    // Far right where a handle is pushed left is not fully in.
    expect((await seen(stage, 'Seals looked at', '#bar')).lines[2]).toBe('Group 2: out of use now. Its handle may blow out.');
    await stage.person('sam').presses('Why?', 'Seals looked at');
    expect((await stage.messages()).findLast(({ only }) => only === 'Sam')?.lines.join(' ')).toContain('So far right the handle is not held safely.');
    await stage.close();
  });

  test('a hot machine: only the handles are read, nobody is sent inside with a finger', async () => {
    const stage = await open();
    await begin(stage);
    await answer(stage, ['It is on']);
    expect((await seen(stage, 'Then only the handle')).lines).toEqual(['Then only the handle, no fingers inside. Nail test next time.', 'Group 1: no flow? Then lock the hot handle snug, no force.', 'Where does it point, seen from above?']);
    await answer(stage, ['Straight', 'Straight']);
    expect((await seen(stage, 'Handles looked at, machine on', '#bar')).lines).toHaveLength(3);
    expect(await count(stage, 'fingernail')).toBe(0);
    await stage.close();
  });

  test('left half-way it goes on where it stood, after a restart too, and nobody else answers in it', async () => {
    const stage = await open();
    await begin(stage);
    await answer(stage, ['Off and cold', 'Bit left']);
    await stage.restart();
    await stage.person('mia').presses('Start', 'Seal look, one minute');
    expect((await seen(stage, 'fingernail')).only).toBe('Mia');
    await stage.person('sam').presses('Start', 'Seal look, one minute');
    expect((await stage.messages()).findLast(({ only }) => only === 'Sam')?.lines).toEqual(['Is the machine off and cold since last night?']);
    await stage.close();
  });

  test('the look on the list of the day is done with it', async () => {
    const stage = await open({ start: '2027-03-10T20:58:30Z' });
    await stage.until('22:05');
    await stage.person('sam').says('done');
    await stage.until('tomorrow 06:30');
    expect((await seen(stage, 'Look at the seals', '#bar')).lines.join(' ')).toContain('Look at the seals');
    await stage.person('mia').says('seal look');
    await stage.person('mia').presses('Start', 'Seal look, one minute');
    await answer(stage, ['Off and cold', 'Bit left', 'Soft', 'Clean', 'Bit left', 'Soft', 'Clean']);
    expect((await seen(stage, 'Before switching on', '#bar')).lines.join(' ')).toMatch(/done.*seal look|seal look.*done/i);
    await stage.close();
  });
});
