import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

/** What a dripping valve shows, whichever of these is asked. */
const TRUTH = ['Only drips', 'Every second', 'Over weeks', 'Still drips', 'As always', 'Nothing', 'Hot', 'Screen', 'No', 'Longer ago'];

const answerTruly = async (stage: Stage, who: string): Promise<number> => {
  for (let asked = 0; asked < 12; asked++) {
    const open = (await stage.messages()).findLast(({ buttons }) => buttons.includes("Don't know"));
    if (!open || (await count(stage, 'Book the technician')) > 0) return asked;
    await stage.person(who).presses(TRUTH.find((label) => open.buttons.includes(label)) ?? "Don't know");
  }
  throw new Error('the questions do not end');
};

describe.each(settings)('one café, one day ($name)', ({ open }) => {
  test('set-up, closing, done by reply, a leak, a verdict, a booking taken', async () => {
    const stage = await open({ empty: true, start: '2027-03-09T13:02:00Z' });
    const ola = stage.person('ola');
    await ola.commands('cafe');
    await ola.presses('Start');
    await ola.fills('Lantern Street', 'Valencia');
    await ola.presses('Yes', 'Is it 14:02 there now?');
    await ola.presses('Write hours');
    await ola.fills('tue-sun 8-22:30, closed mon');
    await ola.presses("That's it");
    await ola.presses('2', 'how many groups?');
    await ola.presses('No lever');
    await ola.presses('Yes', 'water spit');
    await ola.picks('role "bar"');
    await ola.presses('Write it', 'what switches the machine off?');
    await ola.fills('black switch under the till');
    await ola.presses('112 is right');
    await ola.presses('Write it', 'Your technician');
    await ola.fills('Ana 555 0134');
    await ola.presses('Start tonight');
    await ola.presses('Yes, call us');
    await ola.commands('visits');
    await ola.presses('Link Ana');
    const code = /this code: (\w+)/.exec((await seen(stage, 'Give Ana this code')).lines.join(' '))?.[1] ?? '';
    await stage.person('ana').says(`link ${code}`, 'direct');
    expect((await seen(stage, 'Linked with Lantern Street', 'Ana')).lines).toEqual(['Linked with Lantern Street. I write to you here about visits.', 'To end it at any time: /visits']);

    await stage.until('22:31');
    await stage.person('sam').replies('Closing, groups 1 and 2', 'done');
    expect((await seen(stage, 'Thanks, Sam')).lines[0]).toBe('Thanks, Sam. 1, 2 and 4 done, 22:31.');
    await stage.person('sam').presses('Out and rinsed', 'Thanks, Sam');
    expect((await seen(stage, 'Closing, groups 1 and 2')).lines[0]).toContain('done 22:31, Sam');

    await stage.until('tomorrow 10:05');
    await stage.person('mia').says('right one keeps dripping even when nobody brews');
    expect(await answerTruly(stage, 'mia')).toBeLessThanOrEqual(9);
    expect((await seen(stage, 'Book the technician', '#bar')).lines[1]).toContain('valve');
    await stage.person('mia').presses('Book technician');
    await stage.person('ola').presses('Either');
    const asked = await seen(stage, 'Drips at rest, group 2', 'Ana');
    await stage.person('ana').presses(asked.buttons.find((label) => label.startsWith('Take ')) ?? 'Take');
    expect((await seen(stage, 'Ana has taken it', '#bar')).lines[0]).toMatch(/today, 15:\d\d/);
    expect((await stage.messages()).flatMap(({ files }) => files).some((file) => file.endsWith('.ics'))).toBe(true);
    await stage.close();
  });
});
