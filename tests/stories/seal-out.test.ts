import { describe, expect, test } from 'vitest';
import { answerAll } from './ask-questions.ts';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

const answer = async (stage: Stage, labels: readonly string[]): Promise<void> => {
  for (const label of labels) await stage.person('mia').presses(label);
};

/** Thursday's list before opening, with its look, and group 2 far left. */
const groupTwoOut = async (stage: Stage): Promise<void> => {
  await stage.until('22:05');
  await stage.person('sam').says('done');
  await stage.until('tomorrow 06:30');
  await stage.person('mia').presses('Start the seal look', 'Before switching on');
  await answer(stage, ['Off and cold', 'Bit left', 'Soft', 'Clean', 'Left', 'To my right', 'Soft', 'Clean']);
};

describe.each(settings)('a look that puts a group out of use ($name)', ({ open }) => {
  const start = '2027-03-10T20:58:30Z';

  test('begun from the list of the day it marks its own job, and no other', async () => {
    const stage = await open({ start });
    await groupTwoOut(stage);
    const list = await seen(stage, 'Before switching on', '#bar');
    expect(list.lines.join(' ')).toMatch(/done.*seal look|seal look.*done/i);
    expect(list.buttons).not.toContain('Start the seal look');
    await stage.close();
  });

  test('channel and owner are told on their own, the record names no date for it, and a corrected answer lets it in again', async () => {
    const stage = await open({ start });
    await groupTwoOut(stage);
    const told = await seen(stage, 'Lock no handle in it', '#bar');
    expect(told.lines).toEqual(['Group 2: out of use now. Its handle may blow out.', 'Lock no handle in it. The other groups may go on.', 'Seen 06:30, Mia. To fit: 7\u00a0mm, not sure.']);
    expect(told.buttons).toEqual(['Plan the change', 'Book technician']);
    const both = (await stage.messages()).filter(({ lines }) => lines.join(' ').includes('Lock no handle in it'));
    expect(both).toHaveLength(2);
    await stage.person('ola').says('what is fitted?', 'direct');
    const record = await seen(stage, 'Fitted at Lantern Street');
    expect(record.lines[2]).toBe('Group 2: 8\u00a0mm, no shim. Out of use.');
    await stage.person('mia').presses('Correct answer');
    await stage.person('mia').picks('Group 2, handle: Left');
    await stage.person('mia').presses('Bit left', 'Group 2, once more');
    expect(await count(stage, 'Group 2 is back in use.')).toBe(2);
    await stage.close();
  });

  test('a leak two days later does not ask again where the handle stands: the look says it, with its day', async () => {
    const stage = await open({ start });
    await stage.until('22:05');
    await stage.person('sam').says('done');
    await stage.until('tomorrow 06:30');
    await stage.person('mia').presses('Start the seal look', 'Before switching on');
    await answer(stage, ['Off and cold', 'Right', 'Soft', 'Clean', 'Bit left', 'Soft', 'Clean']);
    await stage.until('tomorrow 10:00');
    await stage.person('mia').says('left group drips round the handle when we brew');
    const asked = await answerAll(stage, 'mia', ['Only drips']);
    expect(asked.join('\n')).not.toContain('Where does it point');
    await stage.person('mia').presses('Why?');
    expect((await seen(stage, 'look on Thursday')).lines.join(' ')).toContain('handle about 5:00 at the look on Thursday');
    await stage.close();
  });

  test('its technician is one press away, and the case is opened once however often it is pressed', async () => {
    const stage = await open({ start });
    await groupTwoOut(stage);
    await stage.person('ola').presses('Book technician', 'Lock no handle in it');
    const asked = await seen(stage, 'Seal, group 2');
    expect(asked.lines.join(' ')).toContain('Ana');
    await stage.person('ola').presses('Book technician', 'Lock no handle in it');
    expect((await seen(stage, 'Seal, group 2')).lines).toEqual(asked.lines);
    await stage.person('ola').presses('Either');
    // The look says what was seen, the catalogue what lies behind it and what to bring.
    expect((await seen(stage, 'Seal, group 2', 'Ana')).lines[2]).toMatch(/^Likely seal too thick, [5-9] in 10\. Bring: seals? of/);
    await stage.close();
  });

  test('a new seal written down does not let it in; the look that finds it well does, wherever it was told', async () => {
    const stage = await open({ start });
    await groupTwoOut(stage);
    await stage.until('06:35');
    const ola = stage.person('ola');
    await ola.says('what is fitted?', 'direct');
    await ola.presses('Group 2', 'Fitted at Lantern Street');
    await ola.presses('New seal fitted');
    await ola.fills('8', '', '', '', '');
    await ola.presses('Hard or broken');
    expect(await count(stage, 'Group 2 is back in use.')).toBe(0);
    await stage.until('06:40');
    await stage.person('mia').says('seal look');
    await stage.person('mia').presses('Start', 'before you switch on');
    await answer(stage, ['Off and cold', 'Bit left', 'Soft', 'Clean', 'Bit left', 'Soft', 'Clean']);
    expect(await count(stage, 'Group 2 is back in use.')).toBe(2);
    await stage.close();
  });

  test('a seal card done to its end, dry, lets it in; begun and left, it does not', async () => {
    const stage = await open({ start });
    await groupTwoOut(stage);
    const ola = stage.person('ola');
    await ola.says('how do I change the seal');
    await ola.picks('Change the seal (screw)');
    await ola.presses('Who was shown it');
    await ola.picks('Sam');
    const sam = stage.person('sam');
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
    expect(await count(stage, 'Group 2 is back in use.')).toBe(0);
    await sam.presses('Dry', '15 of 15');
    expect(await count(stage, 'Group 2 is back in use.')).toBe(2);
    await stage.close();
  });
});
