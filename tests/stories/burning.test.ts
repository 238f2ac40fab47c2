import { describe, expect, test } from 'vitest';
import { answerAll } from './ask-questions.ts';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

const START = '2027-03-13T10:40:00Z';

describe.each(settings)('a burning smell ($name)', ({ open }) => {
  test('steps before any question, the owner told, the technician asked, never switched on again', async () => {
    const stage = await open({ start: START });
    const sam = stage.person('sam');
    await sam.says('smells like burning behind the machine');
    expect(await seen(stage, 'Flames or growing smoke', '#bar')).toMatchObject({
      lines: ['Flames or growing smoke: everyone out, call 112.', 'If not: dry hands, black switch under the till, OFF.', 'No water on it. Open nothing. Keep people back.', 'I cannot telephone. You call.'],
      buttons: ['It is off', 'Smoke or flames', "Can't reach it", 'False alarm'],
    });
    await sam.presses('It is off');
    expect((await seen(stage, 'Is anyone hurt', '#bar')).buttons).toEqual(['All fine', 'Someone is hurt']);
    await sam.presses('All fine');
    expect((await seen(stage, 'Stay away from it', '#bar')).lines).toEqual(['Stay away from it for ten minutes and watch from a distance.', 'More smoke: everyone out, call 112.', 'Ola knows. I am asking Ana, as urgent.']);
    const owner = await seen(stage, 'Burning smell or smoke at the machine', 'Ola');
    expect(owner.lines.slice(1)).toEqual(['Sam switched it off. It must stay off for a technician.', 'Nobody is hurt.']);
    await stage.until('15m');
    expect((await seen(stage, 'has not answered', '#bar')).lines.join('\n')).toContain('555 0134');
    await sam.says('smell gone can i switch on again');
    expect((await seen(stage, 'Please leave it off', '#bar')).lines).toEqual(['No. Please leave it off until a technician says so.', 'Filter and tea are fine if they do not share that switch.']);
    await stage.close();
  });

  test('it still smells with the power off, or the switch is out of reach: people first', async () => {
    const stage = await open({ start: START });
    const sam = stage.person('sam');
    await sam.says('smells like burning behind the machine');
    await sam.presses("Can't reach it");
    expect((await seen(stage, 'Then leave it', '#bar')).lines).toEqual(['Then leave it. Everyone back, call 112 if it grows.', 'Is there a breaker you can reach, dry and away from it?']);
    await sam.presses('It is off');
    await sam.presses('All fine');
    await sam.presses('Still smells');
    expect((await seen(stage, 'Power off and it goes on', '#bar')).lines[0]).toBe('Power off and it goes on: everyone out, call 112.');
    await stage.close();
  });

  test('a burnt taste is a false alarm in one press, and goes on with the questions about taste', async () => {
    const stage = await open({ start: START });
    const sam = stage.person('sam');
    await sam.says('somethings burnt here');
    expect((await seen(stage, 'Flames or growing smoke', '#bar')).buttons).toContain('False alarm');
    await sam.presses('False alarm');
    expect((await seen(stage, 'Good. What was it?', '#bar')).buttons).toEqual(['Toast or kitchen', 'Cleaning smell', 'Burnt taste', 'Something else']);
    await sam.presses('Burnt taste');
    expect(await count(stage, 'Nothing is marked')).toBe(1);
    expect((await seen(stage, 'Which of these is nearest?', '#bar')).buttons.length).toBeGreaterThanOrEqual(3);
    expect(await count(stage, 'must stay off')).toBe(0);
    await stage.close();
  });

  test('questions under way are put aside, and go on with their answers after a false alarm', async () => {
    const stage = await open({ start: START });
    const sam = stage.person('sam');
    await sam.says('right one keeps dripping even when nobody brews');
    await sam.presses('Only drips');
    await sam.says('smoke');
    expect((await seen(stage, 'Flames or growing smoke', '#bar')).lines[3]).toBe('I cannot telephone. You call.');
    expect((await seen(stage, 'Put aside: Drips at rest, group 2', '#bar')).buttons).toEqual(['Carry on']);
    await sam.presses('False alarm');
    await sam.presses('Carry on');
    expect(await count(stage, 'Only drips, or more?')).toBe(0);
    expect((await seen(stage, 'Drips at rest, group 2', '#bar')).buttons).toContain('Back');
    await stage.close();
  });

  test('the technician comes, is finished, and only a second press of theirs frees the machine', async () => {
    const stage = await open({ start: START });
    const sam = stage.person('sam');
    const ana = stage.person('ana');
    await sam.says('smells like burning behind the machine');
    await sam.presses('It is off');
    await sam.presses('All fine');
    await sam.presses('Smell is gone');
    expect((await seen(stage, 'It stays off until a technician says so', '#bar')).buttons).toEqual([]);
    await ana.presses('Take today 12:15');
    expect((await seen(stage, 'Ana has taken it: today, 12:15', 'Ola')).lines[1]).toBe('It stays off until a technician has looked.');
    await ana.presses("I'm here");
    await ana.presses('Finished');
    await ana.presses('Something else');
    await ana.fills('burnt relay');
    await ana.presses("That's all");
    expect((await seen(stage, 'Ana is finished', '#bar')).lines).toContain('It stays off until Ana says it may be used.');
    await sam.says('can i switch it on again');
    expect((await seen(stage, 'Please leave it off', '#bar')).lines[0]).toBe('No. Please leave it off until a technician says so.');
    await ana.presses('Usable again');
    expect(await count(stage, 'Ana says it may be used again')).toBe(0);
    await ana.presses('Safe to use again');
    expect((await seen(stage, 'Ana says it may be used again', '#bar')).lines[1]).toBe('Switch it on as usual, and tell me if it comes back.');
    expect((await seen(stage, 'Ana says it may be used again', 'Ola')).lines[0]).toMatch(/^Ana says it may be used again, \d\d:\d\d\.$/);
    await stage.close();
  });

  test('only the owner frees it, with a reason in words', async () => {
    const stage = await open({ start: START });
    await stage.person('sam').says('smells like burning behind the machine');
    await stage.person('sam').presses('It is off');
    await stage.person('sam').presses('All fine');
    await stage.person('ola').presses('Free it, in writing');
    await stage.person('ola').fills('ok');
    expect((await seen(stage, 'Please write the reason in a sentence', 'Ola')).buttons).toContain('Free it, in writing');
    await stage.person('ola').presses('Free it, in writing', 'Please write the reason');
    await stage.person('ola').fills('Ana looked, it was the toaster next to it');
    expect(await count(stage, 'The machine may be used again')).toBe(1);
    await stage.close();
  });
});

describe.each(settings)('questions left lying ($name)', ({ open }) => {
  test('one nudge in the quiet hour, and closed a day later', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('mia').says('right one keeps dripping even when nobody brews');
    await stage.person('mia').presses('Only drips');
    await stage.person('mia').presses('Leave it');
    await stage.until('15:30');
    expect((await seen(stage, 'Still open: Drips at rest, group 2', '#bar')).buttons).toEqual(['Carry on', 'Not needed']);
    await stage.until('tomorrow 16:00');
    expect(await count(stage, 'Still open')).toBe(1);
    expect(await count(stage, 'Left: Drips at rest, group 2')).toBe(1);
    await stage.close();
  });

  test('a second complaint of the same sentence is asked about when the first is settled', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('mia').says('steam wand drips when it is closed, and the grinder is jammed');
    await answerAll(stage, 'mia', ['Yes']);
    const before = (await stage.messages()).length;
    await stage.person('mia').presses('Fixed');
    const after = await stage.messages();
    expect(after.length).toBe(before + 1);
    expect(after.at(-1)?.buttons).toContain("Don't know");
    await stage.close();
  });
});
