import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

const openGroup = async (stage: Stage, group: number): Promise<void> => {
  await stage.person('ola').says('what is fitted?', 'direct');
  await stage.person('ola').presses(`Group ${group}`, 'Fitted at Lantern Street');
};

describe.each(settings)('the record of what is fitted ($name)', ({ open }) => {
  test('a new seal is written down, how the old one was is asked once, and a slip is corrected with the old line kept', async () => {
    const stage = await open();
    const ola = stage.person('ola');
    await ola.says('what is fitted?', 'direct');
    expect((await seen(stage, 'Fitted at Lantern Street')).lines[1]).toBe('Group 1: 8\u00a0mm, no shim. Not looked at yet.');
    await ola.presses('Group 2', 'Fitted at Lantern Street');
    expect((await seen(stage, 'Since when it is in')).lines.slice(0, 2)).toEqual(['Group 2: 8\u00a0mm, no shim.', 'Since when it is in, nobody noted.']);
    await ola.presses('New seal fitted');
    await ola.fills('8,5', '0.5', 'yesterday', '73 x 57, bevel', '1');
    expect((await seen(stage, 'Noted: group 2')).lines).toEqual(['Noted: group 2, 8.5\u00a0mm and 0.5\u00a0mm shim.', 'How was the old one in your hand?']);
    await ola.presses('Hard or broken');
    await openGroup(stage, 2);
    expect((await seen(stage, 'Group 2: 8.5')).lines.slice(0, 2)).toEqual(['Group 2: 8.5\u00a0mm and 0.5\u00a0mm shim, rubber.', 'In since Mon 8 Mar. 73\u00a0mm x 57\u00a0mm, bevel, numbers up.']);
    await ola.presses('Correct it', 'Group 2: 8.5');
    await ola.fills('8.5', '0', '2027-03-08', '73 x 57', '1');
    expect(await count(stage, 'Corrected: group 2, 8.5\u00a0mm, no shim. The old line stays.')).toBe(1);
    await openGroup(stage, 2);
    await ola.presses('What was seen', 'In since Mon 8 Mar');
    expect((await seen(stage, 'corrected since')).lines).toEqual([
      'Mon 8 Mar: 8.5\u00a0mm, no shim went in (Ola)', 'Mon 8 Mar: 8.5\u00a0mm and 0.5\u00a0mm shim, corrected since (Ola)', 'Mon 8 Mar: 8\u00a0mm, no shim came out worn (Ola)',
    ]);
    await stage.close();
  });

  test('what cannot be read is asked once more, and nothing is noted', async () => {
    const stage = await open();
    await openGroup(stage, 1);
    const ola = stage.person('ola');
    await ola.presses('New seal fitted');
    await ola.fills('banana', '', '', '', '');
    expect((await seen(stage, 'I need the thickness')).buttons).toEqual(['Once more', 'Back']);
    await ola.presses('Once more');
    await ola.fills('8', '', '24 dec 2031', '', '');
    expect(await count(stage, 'That day is still to come.')).toBe(1);
    await ola.presses('Back', 'That day is still to come');
    await ola.presses('What was seen');
    expect(await count(stage, 'Nothing was seen or changed yet.')).toBe(1);
    await stage.close();
  });

  test('the wall page comes as one paper, to whoever asked for it', async () => {
    const stage = await open();
    await stage.person('ola').says('what is fitted?');
    await stage.person('ola').presses('Wall page', 'Fitted at Lantern Street');
    expect(await seen(stage, 'The page for the wall')).toMatchObject({ only: 'Ola', lines: ['The page for the wall, one sheet of A4.', 'Read the switches and numbers on it before you hang it up.'] });
    await stage.close();
  });

  test('a seal card done to its end asks which seal went in, and one press writes it down', async () => {
    const stage = await open();
    await stage.until('22:05');
    const sam = stage.person('sam');
    await sam.says('done');
    const ola = stage.person('ola');
    await ola.says('how do I change the seal');
    await ola.picks('Change the seal (screw)');
    await ola.presses('Who was shown it');
    await ola.picks('Sam');
    await stage.until('tomorrow 06:30');
    await sam.says('how do I change the seal');
    await sam.picks('Change the seal (screw)');
    await sam.presses('Start it');
    await sam.presses('Screw in the middle');
    await sam.presses('Group 2');
    await sam.presses('Read on');
    await sam.presses('Off cool no pressure');
    for (let step = 0; step < 9; step++) await sam.presses('Next');
    await sam.presses('Ready');
    await stage.until('07:10');
    await sam.presses('Next', 'time is up');
    await sam.presses('Next');
    await sam.presses('Next');
    await sam.presses('Dry', '15 of 15');
    expect((await seen(stage, 'Group 2: which seal went in?', '#bar')).buttons).toEqual(['Same, 8\u00a0mm', 'Another size']);
    await sam.presses('Same, 8\u00a0mm');
    await sam.presses('Hard or broken');
    await sam.says('what is fitted?');
    expect((await seen(stage, 'Fitted at Lantern Street', '#bar')).lines[2]).toMatch(/^Group 2: 8\u00a0mm, no shim\. Change about /);
    await stage.close();
  });

  test('a screen that is dented is noted in two taps, and stands in what was seen', async () => {
    const stage = await open();
    await openGroup(stage, 1);
    const ola = stage.person('ola');
    await ola.presses('Screen');
    await ola.presses('Dented');
    expect(await seen(stage, 'Noted for the screen of group 1.')).toMatchObject({ lines: ['Noted for the screen of group 1.', 'It wants a new one: its card shows how to fit it.'], buttons: ['Show the card'] });
    await openGroup(stage, 1);
    await ola.presses('What was seen');
    expect((await seen(stage, 'dented (Ola)')).lines).toHaveLength(1);
    await stage.close();
  });
});
