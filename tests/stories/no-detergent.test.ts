import { describe, expect, test } from 'vitest';
import { seen } from './stage.ts';
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
});
