import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

describe.each(settings)('an owner says in words what shall change ($name)', ({ open }) => {
  test('a job that is named, all of them where none is, and nothing for the bar', async () => {
    const stage = await open();
    await stage.until('21:59');
    const ola = stage.person('ola');
    await ola.says('screens every two weeks', 'direct');
    expect((await seen(stage, 'Screens down', 'Ola')).buttons).toEqual(['When', 'How often', 'Who', 'Take it out', 'Note or photo', 'Back']);
    await ola.presses('How often');
    await ola.presses('Every 2 weeks');
    expect((await seen(stage, 'Screens down', 'Ola')).lines[1]).toContain('Every 2 weeks');
    await ola.says('fewer jobs please', 'direct');
    expect((await seen(stage, 'Which one shall change?', 'Ola')).buttons.slice(-2)).toEqual(['Who hears', 'Correct a job']);
    await stage.close();
  });

  test('a café that moves is asked by the clock there, not under its old town', async () => {
    const stage = await open();
    await stage.until('21:59');
    await stage.person('ola').says('we moved to Lisbon', 'direct');
    expect((await seen(stage, 'there now?', 'Ola')).lines).toEqual(['Portugal. Is it 20:59 there now?']);
    await stage.person('ola').presses('Yes', 'there now?');
    expect(await count(stage, 'Noted. Time zone: Europe/Lisbon')).toBe(1);
    await stage.close();
  });

  test('a whole month closed: the list before it shuts down, none comes in it, the first after it checks the restart', async () => {
    const stage = await open({ start: '2027-07-30T10:00:00Z' });
    await stage.until('13:00');
    await stage.person('ola').says('closed all august', 'direct');
    expect((await seen(stage, 'Noted. Days closed', 'Ola')).lines[0]).toBe('Noted. Days closed: Sun 1 Aug to Tue 31 Aug closed');
    await stage.until('in 1 days 22:05');
    expect((await seen(stage, 'Closing', '#bar')).lines.join(' ')).toContain('Closing for long: machine off, water shut');
    const before = await count(stage, 'Closing, groups');
    await stage.until('in 30 days 12:00');
    expect(await count(stage, 'Closing, groups')).toBe(before);
    await stage.until('in 2 days 7:00');
    expect((await seen(stage, 'Restart: flush', '#bar')).lines.join(' ')).toContain('look for leaks');
    await stage.close();
  });
});
