import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';
import { untilAsked } from './until-booked.ts';

describe.each(settings)('a visit from both sides ($name)', ({ open }) => {
  test('another time by a typed answer, a yes, a move that is asked for, and a call off with its reason', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await untilAsked(stage);
    await stage.person('ola').presses('Tomorrow');
    expect((await seen(stage, 'Suits them', 'Ana')).lines[3]).toMatch(/^Suits them: Wed, 15 to 17\./);
    await stage.person('ana').replies('Drips at rest, group 2', 'thu 9:30');
    expect((await seen(stage, 'Noted. The other side knows', 'Ana')).lines).toEqual(['Noted. The other side knows.']);
    expect((await seen(stage, 'Ana has taken it and offers', 'Ola')).lines).toEqual(['Ana has taken it and offers Thu 11 Mar, 09:30.', 'Not fixed until both say yes.']);
    await stage.person('ola').presses('Yes, Thu 09:30');
    expect((await seen(stage, 'Ana has taken it: Thu', '#bar')).lines[0]).toBe('Ana has taken it: Thu 11 Mar, 09:30.');
    await stage.person('ola').presses('Other time');
    await stage.person('ola').fills('thu 16:00');
    expect((await seen(stage, 'asks for', 'Ana')).lines[0]).toContain('Lantern Street asks for Thu 11 Mar, 16:00.');
    expect((await seen(stage, 'Lantern Street asks for Thu 16:00 instead', 'Ana')).buttons.slice(0, 2)).toEqual(['Yes, Thu 16:00', 'Not that time']);
    await stage.person('ana').presses('Yes, Thu 16:00');
    expect((await seen(stage, 'comes at another time', '#bar')).lines[0]).toBe('Ana comes at another time: Thu 11 Mar, 16:00.');
    await stage.person('ana').says('can we do friday 9:30 instead', 'direct');
    expect((await seen(stage, 'Fri 12 Mar, 09:30', '#bar')).lines[0]).toBe('Ana offers Fri 12 Mar, 09:30.');
    await stage.person('ana').presses("Can't after all");
    await stage.person('ana').presses('I am ill');
    expect((await seen(stage, 'cannot come after all', '#bar')).lines).toEqual(['Ana cannot come after all: I am ill', 'Please telephone Ana: 555 0134']);
    expect((await stage.messages()).flatMap(({ files }) => files).filter((file) => file.endsWith('.ics')).length).toBe(6);
    await stage.close();
  });

  test('closed, and a day later it drips again: the same visit opens once more, asked of who was there', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await untilAsked(stage);
    await stage.person('ola').presses('Tomorrow');
    await stage.person('ana').presses('Take Wed 15:00');
    await stage.person('ana').says('van: 1 valve kit, 2 seals 8.5', 'direct');
    expect((await seen(stage, 'In your van', 'Ana')).lines).toEqual(['In your van: valve kit and 2 seals of 8.5 mm.']);
    await stage.until('tomorrow 15:00');
    for (const label of ["I'm here", 'Finished', 'Valve passes', 'Valve kit', 'Skip']) await stage.person('ana').presses(label);
    await stage.person('ana').says('van', 'direct');
    expect((await seen(stage, 'In your van', 'Ana')).lines).toEqual(['In your van: 2 seals of 8.5 mm.']);
    await stage.until('tomorrow 10:00');
    await stage.person('mia').presses('Not cured');
    expect((await seen(stage, 'Not cured: Drips at rest', 'Ana')).buttons).toContain("Can't take it");
    expect((await seen(stage, 'Ana is asked', '#bar')).lines[0]).toContain('Ana is asked.');
    await stage.close();
  });

  test('what a bar person presses changes nothing while an owner can be reached, and a stranger sees nothing', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    await stage.person('sam').presses('Call it off');
    expect((await seen(stage, 'Ola decides on bookings here', '#bar')).only).toBe('Sam');
    expect(await count(stage, 'Called off')).toBe(0);
    const asked = await seen(stage, "Sam would like Ana's visit called off.", 'Ola');
    expect(asked.lines).toEqual(["Sam would like Ana's visit called off.", 'Ana has not named a time yet. Shall I?']);
    expect(asked.buttons).toEqual(['Call it off', 'Yes, still come']);
    await stage.person('mia').presses('Call it off', 'Ana is asked');
    expect(await count(stage, 'called off.')).toBe(1);
    await stage.person('ola').presses('Yes, still come');
    expect((await seen(stage, 'it stays as it was', 'Ola')).buttons).toEqual([]);
    await stage.person('ana').commands('visits', 'direct');
    const visits = await seen(stage, 'One visit is open', 'Ana');
    expect(visits.lines).toEqual(['One visit is open:', 'Drips at rest, group 2, Lantern Street: asked', 'Likely valve passes.']);
    await stage.restart();
    await stage.person('ana').presses(visits.buttons[0] ?? '');
    expect((await seen(stage, 'Suits them', 'Ana')).buttons).toContain("Can't take it");
    await stage.close();
  });
});
