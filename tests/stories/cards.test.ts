import { describe, expect, test } from 'vitest';
import { count, seen, transcript, type Stage } from './stage.ts';
import { settings } from './stages.ts';

const SEAL = 'Change the seal (screw)';

/** Ola marks Sam for the seal card. */
const markSam = async (stage: Stage): Promise<void> => {
  const ola = stage.person('ola');
  await ola.says('how do I change the seal');
  await ola.picks(SEAL);
  await ola.presses('Who was shown it');
  await ola.picks('Sam');
};

/** Sam opens the seal card for group 2, from words to the first cautions. */
const openSeal = async (stage: Stage): Promise<void> => {
  const sam = stage.person('sam');
  await sam.says('how do I change the seal');
  await sam.picks(SEAL);
  await sam.presses('Start it');
  await sam.presses('Screw in the middle');
  await sam.presses('Group 2');
};

const card = (stage: Stage) => seen(stage, 'Change the seal (screw), group 2', '#bar');

describe.each(settings)('job cards ($name)', ({ open }) => {
  test('a hot card before opening: one message from the cautions to the check, asked again in the quiet hour', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').says('done');
    await stage.until('tomorrow 07:15');
    const sam = stage.person('sam');
    await sam.commands('card');
    await sam.picks('Clean rim, lugs and seal');
    await sam.presses('Start it');
    await sam.presses('Group 1');
    expect(await seen(stage, 'Clean rim, lugs and seal, group 1', '#bar')).toMatchObject({
      lines: ['Clean rim, lugs and seal, group 1: 1 of 4', 'The machine stays ON. Metal, water and steam are hot.', 'Brush or cloth. No bare fingers inside the group.', 'Handle: only when flow has stopped. Slowly, face aside.', 'Local rules and a licensed technician come first.'],
      buttons: ['Ready', 'Not now', "Something's wrong"],
    });
    await sam.presses('Ready');
    await sam.presses('Next');
    await sam.presses('Next');
    await sam.presses('Dry', '4 of 4');
    expect((await seen(stage, 'Clean rim, lugs and seal, group 1', '#bar')).lines).toEqual(['Clean rim, lugs and seal, group 1: Dry, 07:15', 'Noted. Thanks, Sam.']);
    expect(await count(stage, 'Clean rim, lugs and seal, group 1')).toBe(1);
    await stage.until('15:00');
    await stage.person('mia').presses('Drips again', 'still dry?');
    expect((await seen(stage, 'Drips again, 15:00')).lines).toEqual(['Clean rim, lugs and seal, group 1: Drips again, 15:00', 'Noted. Say in a few words what you see, and I ask on.']);
    await stage.close();
  });

  test('a cold card: no step before its cautions are answered by who does it, and again after a pause and a restart', async () => {
    const stage = await open();
    await markSam(stage);
    await stage.until('tomorrow 06:30');
    await openSeal(stage);
    const sam = stage.person('sam');
    expect((await card(stage)).lines).toEqual([
      'Change the seal (screw), group 2: 1 of 15', 'Off at the wall: black switch under the till.', 'Tell the others it stays off.',
      'Cool: overnight, or until a technician tells you how long.', 'Gauge at 0. Let steam out slowly, into a jug, face aside.',
    ]);
    await sam.presses('Read on');
    expect((await card(stage)).buttons).toEqual(['Off cool no pressure', 'Not yet', 'Back', "Something's wrong"]);
    await sam.says('done');
    await sam.says('off and cool');
    expect(await count(stage, 'On a card only its buttons count')).toBe(2);
    expect((await card(stage)).lines[0]).toContain('1 of 15');
    await sam.presses('Off cool no pressure');
    expect((await card(stage)).lines).toEqual(['Change the seal (screw), group 2: 2 of 15', 'Handle out. Photo from below: which side is up?']);
    await sam.presses('Next');
    await sam.presses('Pause');
    expect((await card(stage)).lines).toEqual(['Change the seal (screw), group 2: paused 06:30', 'Leave a note on the machine: do not switch on.', 'Before Sam goes on, I ask how it stands.']);
    expect((await card(stage)).buttons).not.toContain('Leave it');
    await stage.restart();
    await sam.presses('Go on');
    expect((await card(stage)).lines[0]).toBe('Change the seal (screw), group 2: how does it stand now?');
    await sam.presses('Read on');
    await sam.presses('Off cool no pressure');
    expect((await card(stage)).lines[0]).toContain('3 of 15');
    await stage.close();
  });

  test('a seal card to its end: the call when it is hot, the first run short, dry, and asked again after two shots', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').says('done');
    await markSam(stage);
    await stage.until('tomorrow 06:30');
    await openSeal(stage);
    const sam = stage.person('sam');
    await sam.presses('Read on');
    await sam.presses('Off cool no pressure');
    for (let step = 0; step < 9; step++) await sam.presses('Next');
    expect((await card(stage)).lines[1]).toBe('The machine stays ON. Metal, water and steam are hot.');
    await sam.presses('Ready');
    expect((await card(stage)).lines).toEqual(['Change the seal (screw), group 2: 12 of 15', 'Anybody else at it? Then wait. Note off, water, gas open.', 'Switch on: black switch under the till.', 'It should be hot at about 07:10. I call you then.']);
    await stage.until('07:10');
    await sam.presses('Next', 'time is up');
    await sam.presses('Next');
    await sam.presses('Next');
    await sam.presses('Dry', '15 of 15');
    expect((await card(stage)).lines).toEqual(['Change the seal (screw), group 2: Dry, 07:10', 'Noted. Thanks, Sam.']);
    await stage.until('08:20');
    await sam.presses('Dry', 'the new seal: dry round the rim?');
    expect((await seen(stage, 'Dry, 08:20')).lines).toEqual(['Change the seal (screw), group 2: Dry, 08:20', 'Good. Thanks, Sam.']);
    expect(await count(stage, 'still in pieces')).toBe(0);
    await stage.close();
  });

  test('a press that comes twice, and one from a message that has moved on, change nothing', async () => {
    const stage = await open();
    await stage.until('tomorrow 07:15');
    const sam = stage.person('sam');
    await sam.commands('card');
    await sam.picks('Clean rim, lugs and seal');
    await sam.presses('Start it');
    await sam.presses('Group 1');
    await sam.presses('Ready');
    await sam.presses('Back');
    await sam.presses('Ready');
    expect((await seen(stage, 'Clean rim, lugs and seal, group 1', '#bar')).lines[0]).toContain('2 of 4');
    await sam.commands('card');
    await sam.picks('Clean rim, lugs and seal');
    await sam.presses('Start it');
    await sam.presses('Group 1');
    expect((await seen(stage, 'is on this card')).lines[0]).toBe('Sam is on this card since 07:15.');
    expect(await count(stage, 'Clean rim, lugs and seal, group 1')).toBe(1);
    await stage.close();
  });

  test('detergent begun and left is told loudly before the door opens, until somebody rinses', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').says('done');
    const sam = stage.person('sam');
    await sam.says('how do I backflush');
    await sam.presses('Show me');
    await sam.presses('Start it');
    await sam.presses('Group 1');
    await sam.presses('I have');
    await sam.presses('Read on');
    await sam.presses('Ready');
    await sam.presses('Pause');
    await sam.presses('Leave it');
    expect((await seen(stage, 'Backflush with detergent, group 1', '#bar')).lines).toEqual(['Backflush with detergent, group 1: left over, 22:05', 'Nothing of it counts as done.', 'Detergent may be in it: rinse before anybody drinks.']);
    await stage.until('tomorrow 07:45');
    expect((await seen(stage, 'Detergent may be left', '#bar')).lines).toEqual(['Detergent may be left: Backflush with detergent, group 1', 'You open at 08:00.', 'Sam stands at 2 of 8.', 'Rinse it, and throw the first coffee away.']);
    await stage.person('mia').presses('Rinsed');
    expect((await seen(stage, 'Rinsed, Mia')).place).toBe('#bar');
    await stage.close();
  });

  test('somebody else pressing on the card moves nothing, and is told kindly whose it is', async () => {
    const stage = await open();
    await markSam(stage);
    await stage.until('tomorrow 06:30');
    await openSeal(stage);
    await stage.person('sam').presses('Read on');
    await stage.person('mia').presses('Off cool no pressure');
    expect((await seen(stage, 'is on this card')).lines).toEqual(['Sam is on this card, since 06:30.', 'Thanks for looking in.']);
    expect((await card(stage)).lines[0]).toContain('1 of 15');
    await stage.person('mia').presses('I take over');
    expect((await seen(stage, 'shown it once')).only).toBe('Mia');
    expect(await count(stage, 'It is yours now')).toBe(0);
    await stage.close();
  });

  test('left in pieces before opening is told loudly, while there is just time to close it up and heat', async () => {
    const stage = await open();
    await markSam(stage);
    await stage.until('tomorrow 06:30');
    await openSeal(stage);
    await stage.person('sam').presses('Read on');
    await stage.person('sam').presses('Off cool no pressure');
    await stage.until('07:04');
    expect(await count(stage, 'still in pieces')).toBe(0);
    await stage.until('07:05');
    expect((await seen(stage, 'still in pieces', '#bar')).lines).toEqual(['Change the seal (screw), group 2: still in pieces', 'You open at 08:00.', 'Sam stands at 2 of 15.', 'It stays off until it is closed up and nobody is at it.']);
    await stage.person('mia').says('how do I backflush');
    await stage.person('mia').presses('Show me');
    await stage.person('mia').presses('Start it');
    await stage.person('mia').presses('Group 1');
    expect((await seen(stage, 'has the machine in pieces')).lines[0]).toBe('Sam has the machine in pieces.');
    await stage.close();
  });

  test('a seal card with too little time before opening gives way to the smaller thing', async () => {
    const stage = await open();
    await markSam(stage);
    await stage.until('tomorrow 07:20');
    await openSeal(stage);
    expect(await seen(stage, 'and you open at')).toMatchObject({ lines: ['Change the seal (screw): 60 min, and you open at 08:00.', 'Until then, 2 min: Clean rim, lugs and seal.'], buttons: ['Do that instead', 'Read it'] });
    await stage.person('sam').presses('Do that instead');
    expect((await seen(stage, '1 of 4', '#bar')).lines[0]).toBe('Clean rim, lugs and seal, group 2: 1 of 4');
    await stage.close();
  });

  test('a newcomer who asks what a backflush is, is alone and never did it: the job is left over, and the owner hears of the gap', async () => {
    const stage = await open();
    await stage.until('22:03');
    const lina = stage.person('lina');
    await lina.replies('Closing', 'what is backflush');
    expect(await seen(stage, 'blind basket and detergent')).toMatchObject({ lines: ['Cleaning the group with the blind basket and detergent.', 'Have you done it before, with someone showing you?'], buttons: ['I have', 'Show me', "I'm alone, never", 'Ask a colleague'] });
    await lina.presses("I'm alone, never");
    expect(await seen(stage, 'Then leave it')).toMatchObject({ only: 'Lina', lines: ['Then leave it tonight. That is fine, and it is noted.', 'You can do 2: Brush seals, wipe rims.'], buttons: ['Did 2', 'Show me'] });
    await lina.presses('Did 2');
    expect((await seen(stage, 'Welcome to the bar')).lines).toEqual(['Thanks, Lina. Welcome to the bar.']);
    expect((await seen(stage, 'Closing, groups')).lines[0]).toBe('Closing, groups 1 and 2: 1 of 4 done, 22:03, Lina');
    await stage.until('tomorrow 09:00');
    await stage.person('ola').presses('Lina is trained');
    expect((await seen(stage, 'Lina is marked')).place).toBe('Ola');
    await lina.says('how do I backflush');
    await lina.presses('Start it', 'blind basket and detergent');
    await lina.presses('Group 1');
    expect((await seen(stage, 'Backflush with detergent, group 1', '#bar')).lines[0]).toBe('Backflush with detergent, group 1: 1 of 8');
    await stage.close();
  });

  test('who was never shown a seal card can read it and ask, and begins nothing', async () => {
    const stage = await open();
    await stage.until('tomorrow 06:30');
    await stage.person('lina').says('how do I change the seal');
    await stage.person('lina').picks(SEAL);
    await stage.person('lina').presses('Start it');
    await stage.person('lina').presses('Screw in the middle');
    await stage.person('lina').presses('Group 1');
    expect(await seen(stage, 'shown it once')).toMatchObject({ only: 'Lina', lines: ['This card is for someone who has been shown it once.', 'You can read it. To do it, ask Ola.'], buttons: ['Read it', 'Ask a colleague'] });
    await stage.person('lina').presses('Ask a colleague', 'shown it once');
    expect((await seen(stage, 'who can show a job')).lines).toEqual(['Lina asks: who can show a job?', 'Change the seal (screw). Once together is enough.']);
    await stage.person('lina').presses('Read it');
    expect((await seen(stage, 'Reading only')).lines[0]).toMatch(/^Reading only: Change the seal \(screw\): 1 of \d+$/);
    expect(await count(stage, 'Change the seal (screw), group')).toBe(0);
    await stage.close();
  });

  test("something's wrong: danger first, and its orders at once", async () => {
    // The list of dangers that follows the orders has labels of its own length.
    const stage = await open({ deaf: true });
    await stage.until('tomorrow 07:15');
    const sam = stage.person('sam');
    await sam.commands('card');
    await sam.picks('Clean rim, lugs and seal');
    await sam.presses('Start it');
    await sam.presses('Group 1');
    await stage.person('mia').presses("Something's wrong");
    expect((await seen(stage, 'what is wrong?')).buttons).toEqual(['Danger', 'Ask me questions', 'Back to the card']);
    await stage.person('mia').presses('Danger');
    const told = await seen(stage, 'Gas smell');
    expect(told.lines).toEqual(['People away. Gas smell: all out, no switch. Read on outside.', 'Safe, dry hands? OFF: black switch under the till.', 'Someone hurt, smoke, flames: call 112.', 'I cannot telephone. You call. It stays off.']);
    expect(told.buttons, transcript(await stage.messages())).toEqual([]);
    await stage.close();
  });
});
