import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

describe.each(settings)('a leak that ends in a booking ($name)', ({ open }) => {
  test('asked, owned, taken, on the way, here, finished: everyone hears in the right words', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('mia').says('right one keeps dripping even when nobody brews');
    for (let i = 0; i < 9 && (await count(stage, 'Book the technician')) === 0; i++) {
      const asked = (await stage.messages()).findLast((each) => each.buttons.includes("Don't know"));
      const wanted = ['Only drips', 'Every second', 'Over weeks', 'Still drips', 'As always', 'Nothing', 'Hot', 'Screen', 'Screen, top', 'No', 'Longer ago'];
      await stage.person('mia').presses(wanted.find((label) => asked?.buttons.includes(label)) ?? "Don't know");
    }
    expect((await seen(stage, 'Book the technician')).lines[1]).toContain('valve');
    await stage.person('mia').presses('Book technician');
    expect((await seen(stage, 'Ola decides on bookings here')).only).toBe('Mia');
    expect(await count(stage, 'is asked. Nothing is fixed')).toBe(0);
    const wish = await seen(stage, 'Needs Ana', 'Ola');
    expect(wish.lines).toContain('About €120.');
    expect(wish.buttons).toContain('Either');
    await stage.person('ola').presses('Either');
    expect((await seen(stage, 'Ana is asked. Nothing is fixed', '#bar')).lines[0]).toBe('Ana is asked. Nothing is fixed until they take it.');
    const handed = await seen(stage, 'Drips at rest, group 2', 'Ana');
    expect(handed.lines[0]).toBe('Drips at rest, group 2. Lantern Street, Valencia');
    expect(handed.lines.join(' ')).not.toContain('Lantern Street 12');
    expect(handed.lines.join(' ')).not.toContain('555');
    await stage.person('ana').presses('Details');
    expect((await seen(stage, 'right one keeps dripping', 'Ana')).lines.join('\n')).toContain('Tried: nothing');
    const take = handed.buttons.find((label) => label.startsWith('Take ')) ?? '';
    expect(take).toMatch(/^Take (today|Wed) 15:\d\d$/);
    await stage.person('ana').presses(take);
    const yours = await seen(stage, 'Yours:', 'Ana');
    expect(yours.lines.join('\n')).toContain('Lantern Street 12, Valencia');
    expect(yours.lines.at(-1)).toContain('555 0120');
    expect((await seen(stage, 'Ana has taken it', '#bar')).lines[0]).toMatch(/^Ana has taken it: (today|tomorrow)/);
    expect((await stage.messages()).flatMap(({ files }) => files).filter((file) => file.endsWith('.ics')).length).toBe(2);
    await stage.person('ana').presses('On my way');
    expect((await seen(stage, 'on the way', '#bar')).lines[0]).toContain('Ana is on the way');
    await stage.person('ana').presses("I'm here");
    await stage.person('ana').presses('Finished');
    expect(await count(stage, 'Ana is finished')).toBe(0);
    await stage.person('ana').presses('Something else');
    await stage.person('ana').fills('dirt in the valve');
    expect((await seen(stage, 'Fitted?', 'Ana')).buttons).toEqual(['Nothing', 'Valve kit', 'Write it', "That's all", 'Back']);
    await stage.person('ana').presses('Valve kit');
    await stage.person('ana').says('scale in the valve, change the filter this week', 'direct');
    expect((await seen(stage, 'Closed, ', 'Ana')).lines[0]).toMatch(/^Closed, 10:05: dirt in the valve, valve kit, \d+ min\.$/);
    const told = await seen(stage, 'Ana is finished', '#bar');
    expect(told.lines).toEqual(['Ana is finished, 10:05: dirt in the valve.', 'Fitted: valve kit.', 'They say: "scale in the valve, change the filter this week".']);
    expect(told.buttons).toEqual(['Not cured']);
    await stage.person('ana').presses('Add price');
    await stage.person('ana').fills('85.50');
    expect((await seen(stage, 'Ana is finished', 'Ola')).lines).toContain('Fitted: valve kit. Price: €85.50.');
    expect((await seen(stage, 'Ana is finished', '#bar')).lines.join()).not.toContain('85');
    expect(await count(stage, 'Ana is finished')).toBe(2);
    await stage.close();
  });

  test('she cannot take it and there is nobody else: the café is told at once to telephone, with the number', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('ola').says('steam wand drips when shut');
    for (let i = 0; i < 12 && (await count(stage, 'Book technician')) + (await stage.messages()).filter(({ buttons }) => buttons.includes('Book technician')).length === 0; i++) {
      const open_ = (await stage.messages()).findLast((each) => each.buttons.includes("Don't know") || each.buttons.includes('Leave it'));
      await stage.person('ola').presses(open_?.buttons.includes("Don't know") ? "Don't know" : (open_?.buttons[0] ?? ''));
    }
    await stage.person('ola').presses('Book technician');
    const asked = await seen(stage, 'Needs Ana');
    await stage.person('ola').presses(asked.buttons.includes('Either') ? 'Either' : 'Ask at once');
    await stage.person('ana').presses("Can't take it");
    const told = await seen(stage, 'cannot take it', '#bar');
    expect(told.lines.join('\n')).toContain('Please telephone Ana: 555 0134');
    await stage.close();
  });

  test('nobody answers in time: the café is told to telephone', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('sam').says('smells like burning behind the machine');
    await stage.person('sam').presses('It is off');
    await stage.person('sam').presses('All fine');
    expect((await seen(stage, 'Ana is asked', '#bar')).lines[0]).toContain('Ana is asked');
    await stage.until('15m');
    expect((await seen(stage, 'has not answered', '#bar')).lines.join('\n')).toContain('555 0134');
    await stage.close();
  });
});
