import { describe, expect, test } from 'vitest';
import { seen } from './stage.ts';
import { settings } from './stages.ts';
import { untilAsked } from './until-booked.ts';

describe.each(settings)('what is asked for in plain words ($name)', ({ open }) => {
  test('the day as Ola and Mia ask about it, and what only Ola changes', async () => {
    const stage = await open();
    await stage.until('22:31');
    await stage.person('sam').says('done');
    await stage.person('sam').presses('Out and rinsed');
    await stage.until('tomorrow 10:00');
    await stage.person('mia').says('done');
    await stage.person('mia').says('who did the closing yesterday?', 'direct');
    expect((await seen(stage, 'Closing: done', 'Mia')).lines[0]).toBe('Tue 9 Mar: Closing: done 22:31, Sam');
    await stage.person('mia').says('when did we last soak the baskets?', 'direct');
    expect((await seen(stage, 'Soak baskets', 'Mia')).lines).toEqual(['Soak baskets, 20 min', 'Every day, at closing. Hot or cold.', 'Last done Tue 9 Mar 22:31, Sam.', 'Next: Wed 10 Mar 22:00.']);
    await stage.person('mia').says('where is the main switch', 'direct');
    expect((await seen(stage, 'Off switch', 'Mia')).lines).toEqual(['Off switch: black switch under the till', 'Breaker: not known yet', 'Water tap: not known yet', 'Emergency number: 112. Ana: 555 0134']);
    await stage.person('mia').says('we are closed next week', 'direct');
    expect((await seen(stage, 'for the owner', 'Mia')).lines).toEqual(['That is for the owner of this café. I have changed nothing.']);
    await stage.person('ola').says('which seal do I order?', 'direct');
    expect((await seen(stage, 'Fitted at Lantern Street', 'Ola')).lines[1]).toContain('Group 1');
    await stage.person('ola').says('is anyone coming?', 'direct');
    expect((await seen(stage, 'No visits are open.', 'Ola')).lines).toEqual(['No visits are open.']);
    await stage.person('ola').says('we are closed next week', 'direct');
    expect((await seen(stage, 'Noted.', 'Ola')).lines[0]).toBe('Noted. Days closed: Mon 15 Mar to Sun 21 Mar closed');
    await stage.person('ola').says('we have a new colleague', 'direct');
    expect((await seen(stage, 'Ola', 'Ola')).buttons.length).toBeGreaterThan(1);
    await stage.close();
  });

  test.each(['im new, what do i do', 'nobody showed me', 'it is my first evening, what do i have to do here?', 'sono nuova, cosa devo fare?'])('a newcomer asks "%s" and gets the list', async (text) => {
    const stage = await open();
    await stage.until('22:02');
    await stage.person('lina').says(text);
    expect((await seen(stage, 'Closing, Tue', '#bar')).lines[1]).toBe('1 backflush, 2 seals and rims, 3 soak, 4 wands, tray, drain');
    await stage.person('lina').says('whats a backflush');
    expect((await seen(stage, 'Cleaning the group with the blind basket', '#bar')).buttons).toContain('Show me');
    await stage.close();
  });

  test('"is anyone coming?" in the channel is answered for everyone there, though the technician asks: no address, no telephone', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await untilAsked(stage);
    await stage.person('ola').presses('Tomorrow');
    await stage.person('ana').says('when does the technician come?');
    const inChannel = (await seen(stage, 'Lantern Street', '#bar')).lines.join(' ');
    expect(inChannel).not.toMatch(/Lantern Street 12|555 0120/);
    await stage.close();
  });

  test('asked while a question about a fault is open, it is answered, and the question waits', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('sam').says('what is next?');
    await stage.person('sam').says('right one keeps dripping even when nobody brews', 'direct');
    await stage.person('sam').says('when is the next seal due?', 'direct');
    expect((await seen(stage, 'Fitted at Lantern Street', 'Sam')).lines.length).toBeGreaterThan(1);
    expect((await seen(stage, 'Drips at rest, group 2', 'Sam')).buttons).toEqual(["I'm there", 'Ask the bar']);
    await stage.close();
  });
});
