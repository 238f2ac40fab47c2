import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

describe.each(settings)('short words to a list ($name)', ({ open }) => {
  test('a bare "cant" after the list is about the list: the reason is asked, and no fault is looked for', async () => {
    const stage = await open();
    await stage.until('22:06');
    await stage.person('mia').says('cant');
    expect((await seen(stage, 'in the way')).lines).toEqual(['That happens. What is in the way?']);
    expect((await seen(stage, 'in the way')).buttons).toEqual(['No supplies', 'No time', 'Broken', 'Not trained']);
    expect(await count(stage, 'Cannot be shut')).toBe(0);
    await stage.person('mia').presses('No time', 'in the way');
    expect((await seen(stage, 'Noted, 1, 2, 3 and 4 left over')).lines[0]).toContain('no time');
    await stage.close();
  });

  test('with two lists open a bare "cannot" is taken for the newest', async () => {
    const stage = await open({ start: '2027-03-11T05:20:00Z' });
    await stage.until('7:45');
    expect(await count(stage, 'Before switching on, machine cold')).toBe(1);
    await stage.person('mia').says('cannot');
    await stage.person('mia').presses('No time', 'in the way');
    expect((await seen(stage, 'Opening')).lines.join(' ')).toContain('Left over');
    expect((await seen(stage, 'Before switching on, machine cold')).lines.join(' ')).not.toContain('Left over');
    await stage.close();
  });

  test('"done, but the soak is still going": the soak is noted, the rest is one tap', async () => {
    const stage = await open();
    await stage.until('22:20');
    await stage.person('sam').says('done, but the soak is still going');
    expect((await seen(stage, 'still soaking')).lines).toEqual(['Noted: 3 still soaking.', '1, 2 and 4 are left: done?']);
    await stage.person('sam').presses('Done: the rest', 'still soaking');
    expect((await seen(stage, 'Closing, groups')).lines).toEqual(['Closing, groups 1 and 2: 3 of 4 done, 22:20, Sam', 'Done: 1 backflush, 2 seals and rims, 4 wands, tray, drain', 'Still soaking: 3 soak']);
    await stage.until('tomorrow 7:31');
    expect((await seen(stage, 'Before the first coffee')).lines[0]).toContain('baskets may be in detergent');
    await stage.close();
  });
});

describe.each(settings)('/today ($name)', ({ open }) => {
  test('names no job that needs the machine on while it must stay off', async () => {
    const stage = await open();
    await stage.until('21:59');
    await stage.person('sam').says('smells like burning behind the machine');
    await stage.person('sam').presses('It is off');
    await stage.person('sam').presses('All fine');
    await stage.person('mia').commands('today');
    expect((await seen(stage, 'Nothing is open. Next:')).lines[0]).toBe('Nothing is open. Next: soak, Tue 9 Mar 22:00.');
    await stage.close();
  });

  test('hides what is open on a list for a machine that must stay off since', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').says('smells like burning behind the machine');
    await stage.person('sam').presses('It is off');
    await stage.person('sam').presses('All fine');
    await stage.person('mia').commands('today');
    const shown = await seen(stage, 'Closing, Tue');
    expect([shown.lines[0]?.split(': ').at(-1), shown.buttons]).toEqual(['3 soak', ['Done: some']]);
    await stage.close();
  });

  test('shows a technician what is open, and no button that is not theirs', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('ana').commands('today', 'direct');
    expect((await seen(stage, 'Closing, Tue', 'Ana')).buttons).toEqual([]);
    await stage.person('mia').commands('today');
    expect((await seen(stage, 'Closing, Tue')).buttons).toEqual(['Done: all', 'Done: some']);
    await stage.close();
  });
});
