import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

describe.each(settings)('no detergent ($name)', ({ open }) => {
  test('half of it is done with water, nothing dangerous in its place, the owner hears and the bar is answered', async () => {
    const stage = await open();
    await stage.until('22:06');
    await stage.person('mia').replies('Closing', 'cant no detergent');
    expect((await seen(stage, 'plain water')).lines).toEqual(['OK, backflush with plain water tonight.', 'No dish soap, no bleach in its place.', 'I tell Ola that we are out.']);
    const owner = await seen(stage, 'out of backflush detergent', 'Ola');
    expect(owner.buttons).toEqual(['Ordered', 'We have some', 'Remind me at 10']);
    await stage.until('22:14');
    await stage.person('mia').presses('Water only: done');
    expect((await seen(stage, 'with water only, 22:14')).lines).toEqual(['Backflush with water only, 22:14, Mia. Thanks.', 'Still open: 2 seals and rims, 4 wands, tray, drain.']);
    expect((await seen(stage, 'Closing')).lines.at(-1)).toContain('3 soak');
    await stage.until('tomorrow 9:02');
    await stage.person('ola').presses('We have some');
    await stage.person('ola').fills('top shelf behind the cups');
    expect((await seen(stage, 'top shelf', '#bar')).lines).toEqual(['Detergent: Ola says "top shelf behind the cups".']);
    await stage.close();
  });

  test('left over and done after all: what was asked about the detergent says so, and calls nothing "water only"', async () => {
    const stage = await open();
    await stage.until('22:06');
    await stage.person('mia').replies('Closing', 'cant no detergent');
    await stage.person('mia').presses("Can't at all", 'plain water');
    await stage.until('22:20');
    await stage.person('sam').replies('Closing', 'done 1');
    expect((await seen(stage, 'after all')).lines[0]).toBe('Backflush done after all, 22:20, Sam. Thanks.');
    await stage.close();
  });
});

describe.each(settings)('a list put off ($name)', ({ open }) => {
  test('comes again, and both of its messages show what became of it, whichever is answered', async () => {
    const stage = await open();
    await stage.until('22:06');
    await stage.person('mia').presses('Later', 'Closing');
    await stage.person('mia').presses('30 min', 'When');
    await stage.until('22:40');
    expect(await count(stage, 'Closing, groups 1 and 2:')).toBe(2);
    await stage.person('sam').says('done 1, 2 and 4');
    expect(await count(stage, '3 of 4 done, 22:40, Sam')).toBe(2);
    await stage.close();
  });
});
