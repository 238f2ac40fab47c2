import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

const setUp = async (stage: Stage): Promise<void> => {
  const ola = stage.person('ola');
  await ola.commands('cafe');
  await ola.presses('Start');
  await ola.fills('Lantern Street', 'Valencia');
  await ola.presses('Yes', 'Is it 21:58 there now?');
  await ola.presses('Write hours');
  await ola.fills('tue-sun 8-22:30');
  await ola.presses("That's it");
  await ola.presses('2', 'how many groups?');
  await ola.presses('No lever');
  await ola.presses('Yes', 'water spit');
  await ola.picks('role "bar"');
  await ola.presses('Write it', 'what switches the machine off?');
  await ola.fills('black switch under the till');
  await ola.presses('112 is right');
  await ola.presses('Not yet', 'Your technician');
  await ola.presses('Start tonight');
  await ola.presses('Yes, call us');
};

describe.each(settings)('set-up ($name)', ({ open }) => {
  test('an owner sets the café up by buttons, lists and forms, and the bar answers the first list the same evening', async () => {
    const stage = await open({ empty: true });
    await setUp(stage);
    expect((await seen(stage, 'In danger I call you')).only).toBe('Ola');
    await stage.until('22:00');
    await stage.person('mia').presses('Done: all', 'Closing, groups 1 and 2');
    expect((await seen(stage, 'Closing, groups 1 and 2')).lines[0]).toContain('Mia');
    expect(await count(stage, 'Closing, groups')).toBe(1);
    await stage.close();
  });

  test('left half way, and a restart in between: it goes on at the same question', async () => {
    const stage = await open({ empty: true });
    const ola = stage.person('ola');
    await ola.commands('cafe');
    await ola.presses('Start');
    await ola.fills('Lantern Street', 'Valencia');
    await ola.presses('Yes', 'Is it 21:58 there now?');
    await stage.restart();
    await ola.commands('cafe');
    expect((await seen(stage, 'When are you open?')).lines[0]).toBe('When are you open? Write it as on your door.');
    await stage.close();
  });

  test('somebody who does not manage the server is told, alone, who can do it', async () => {
    const stage = await open({ empty: true });
    await stage.person('sam').commands('cafe');
    const all = await stage.messages();
    expect(all.map(({ only, lines, buttons }) => [only, lines[0], buttons])).toEqual([['Sam', 'Set-up is for whoever manages this server.', []]]);
    await stage.close();
  });
});
