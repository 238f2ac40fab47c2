import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

describe.each(settings)('seals and screens told of in words ($name)', ({ open }) => {
  test('a seal that went in is asked about where it was said, with the size that was named, and is no complaint', async () => {
    const stage = await open();
    const ola = stage.person('ola');
    await ola.says('new seal in group 2, 8.5 mm', 'direct');
    expect((await seen(stage, 'Group 2: which seal went in?', 'Ola')).buttons).toEqual(['Now 8.5\u00a0mm', 'Same, 8\u00a0mm', 'Another size']);
    await ola.presses('Now 8.5\u00a0mm');
    expect((await seen(stage, 'Noted: group 2', 'Ola')).lines[0]).toBe('Noted: group 2, 8.5\u00a0mm, no shim.');
    expect(await count(stage, 'Rim leaks')).toBe(0);
    await ola.says('changed the seal on group 1 yesterday', 'direct');
    expect((await seen(stage, 'Group 1: 8', 'Ola')).buttons).toContain('New seal fitted');
    await stage.close();
  });

  test('a dented screen, a shim that was found, which way up: the right page each, with its picture', async () => {
    const stage = await open();
    const ola = stage.person('ola');
    await ola.says('the screen of group 2 is dented', 'direct');
    expect(await seen(stage, 'Anything to note about the screen?', 'Ola')).toMatchObject({ buttons: ['New screen', 'Blocked', 'Dented', 'Turns', 'Back'], files: ['three-screens.png'] });
    await ola.says('found a shim above the seal, left group', 'direct');
    expect((await seen(stage, 'Group 1: 8', 'Ola')).buttons).toContain('Correct it');
    await ola.says('which way up does the seal go', 'direct');
    expect((await seen(stage, 'Which way up a seal goes', 'Ola')).files).toContain('seal-which-way-up.png');
    await stage.close();
  });

  test('a ring that will not come out, no card open: stop, off, and whom to call', async () => {
    const stage = await open();
    await stage.person('ola').says('the ring won’t come out', 'direct');
    expect((await seen(stage, 'Stop there', 'Ola')).lines).toEqual(['Stop there. Do not force it: what breaks stays in the group.', 'Machine off, a note on it: do not switch on. Then call:', 'Ana, 555 0134.']);
    await stage.close();
  });
});
