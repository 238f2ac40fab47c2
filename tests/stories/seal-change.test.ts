import { describe, expect, test } from 'vitest';
import { answerAll } from './ask-questions.ts';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

/** The three ways a screen is held: the button that says so, the card it opens, and its steps before and after switching on. */
const FIXINGS = [
  { held: 'Screw in the middle', card: 'Change the seal (screw)', cold: 9, all: 15 },
  { held: 'By the seal', card: 'Change the seal (press fit)', cold: 7, all: 13 },
  { held: 'Screwed to a block', card: 'Change the seal (block)', cold: 9, all: 15 },
] as const;
type Fixing = (typeof FIXINGS)[number];

/** Ola counts two seals and marks Sam the evening before; Sam opens the card on the cold machine. */
const begin = async (stage: Stage, fixing: Fixing): Promise<void> => {
  const ola = stage.person('ola');
  await ola.says('stock: 2 seals 8');
  await stage.until('22:05');
  await stage.person('sam').says('done');
  await ola.says('how do I change the seal');
  await ola.picks(fixing.card);
  await ola.presses('Who was shown it');
  await ola.picks('Sam');
  await stage.until('tomorrow 06:20');
  const sam = stage.person('sam');
  await sam.says('how do I change the seal');
  await sam.picks(fixing.card);
  await sam.presses('Start it');
  await sam.presses(fixing.held);
  await sam.presses('Group 2');
};

/** From the cautions to the last check, the wait for the heat included. */
const through = async (stage: Stage, { cold }: Fixing): Promise<void> => {
  const sam = stage.person('sam');
  await sam.presses('Read on');
  await sam.presses('Off cool no pressure');
  for (let step = 0; step < cold; step++) await sam.presses('Next');
  await sam.presses('Ready');
  await stage.until('07:10');
  await sam.presses('Next', 'time is up');
  await sam.presses('Next');
  await sam.presses('Next');
};

describe.each(settings)('a seal change to its end ($name)', ({ open }) => {
  test.each(FIXINGS)('$card: noted, one seal less on the shelf, looked at again after two shots and after a week', async (fixing) => {
    const stage = await open();
    await begin(stage, fixing);
    await through(stage, fixing);
    const sam = stage.person('sam');
    expect((await seen(stage, `${fixing.all} of ${fixing.all}`, '#bar')).lines[0]).toContain(`${fixing.card}, group 2`);
    await sam.presses('Dry', `${fixing.all} of ${fixing.all}`);
    await sam.presses('Same, 8\u00a0mm');
    await sam.presses('Hard or broken');
    await sam.says('stock?');
    expect((await seen(stage, 'On the shelf of Lantern Street', '#bar')).lines[0]).toBe('On the shelf of Lantern Street: 8 mm seal.');
    await sam.says('what is fitted?');
    expect((await seen(stage, 'Fitted at Lantern Street', '#bar')).lines[2]).toMatch(/^Group 2: 8\u00a0mm, no shim\. Change about /);
    await stage.until('08:20');
    await sam.presses('Dry', 'the new seal: dry round the rim?');
    await stage.until('18:00');
    for (let day = 0; day < 7; day++) await stage.until('tomorrow 18:00');
    expect((await seen(stage, 'the new seal: dry round the rim?', '#bar')).buttons).toEqual(['Dry', 'Drips again']);
    await stage.person('mia').presses('Dry', 'the new seal: dry round the rim?');
    expect((await seen(stage, 'Good. Thanks, Mia.')).place).toBe('#bar');
    await stage.close();
  });
});

describe.each(settings)('a seal change whose last check fails ($name)', ({ open }) => {
  test('it drips: the questions go on with group and job known, to a verdict, and the seal that went in is asked all the same', async () => {
    const stage = await open();
    await begin(stage, FIXINGS[0]);
    await through(stage, FIXINGS[0]);
    const sam = stage.person('sam');
    await sam.presses('Drips', '15 of 15');
    expect(await count(stage, 'Group 2: which seal went in?')).toBe(1);
    await sam.presses('Ask me questions', 'group 2: Drips');
    const first = await seen(stage, 'Rim leaks, group 2', '#bar');
    expect(first.buttons).toContain("Don't know");
    expect((await seen(stage, 'group 2: Drips', '#bar')).buttons).toEqual([]);
    const asked = await answerAll(stage, 'sam', ['Only drips', 'Still drips', 'Still here', 'Still on 2', 'Straight', 'Soft', 'Coffee grounds', 'Brown paste', 'Gritty', 'Suddenly', 'As always', 'No']);
    expect(asked.join(' ')).not.toMatch(/How old is the seal|What changed in the last two days/);
    const verdict = (await stage.messages()).findLast(({ buttons }) => buttons.includes('Why?'));
    expect(verdict?.lines.join('\n')).not.toContain('change the seal');
    await stage.close();
  });

  test('the handle slips: the group is out at once, told to everyone, and no more is asked of the bar', async () => {
    const stage = await open({ deaf: true });
    await begin(stage, FIXINGS[0]);
    await through(stage, FIXINGS[0]);
    await stage.person('sam').presses('Handle slips', '15 of 15');
    expect(await count(stage, 'which seal went in?')).toBe(0);
    await stage.person('ola').says('what is fitted?');
    expect((await seen(stage, 'Fitted at Lantern Street', '#bar')).lines[2]).toContain('Out of use.');
    await stage.close();
  });
});
