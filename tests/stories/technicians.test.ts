import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';
import { linked, secondTechnician, untilAsked } from './until-booked.ts';

const files = async (stage: Stage, place: string): Promise<number> => (await stage.messages()).filter((each) => each.place === place).flatMap((each) => each.files).length;

describe.each(settings)('several technicians and the roads to them ($name)', ({ open }) => {
  test('the first cannot take it: the second is asked, and neither sees the street before taking it', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await secondTechnician(stage);
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    expect(await count(stage, 'Drips at rest, group 2. Lantern')).toBe(1);
    await stage.person('ana').presses("Can't take it");
    expect((await seen(stage, 'Ben is asked', '#bar')).lines).toEqual(['Ana cannot take it.', 'Ben is asked. Nothing is fixed until they take it.']);
    const handed = await seen(stage, 'Drips at rest, group 2', 'Ben');
    expect(handed.lines.join('\n')).not.toMatch(/Lantern Street 12|555|ring twice/);
    await stage.person('ben').presses(handed.buttons.find((label) => label.startsWith('Take ')) ?? '');
    expect((await seen(stage, 'Yours:', 'Ben')).lines.join('\n')).toContain('Lantern Street 12');
    expect((await seen(stage, 'Ben has taken it', '#bar')).lines[0]).toBe('Ben has taken it: today, 15:00.');
    expect((await seen(stage, 'Somebody else has it now', 'Ana')).buttons).toEqual([]);
    await stage.close();
  });

  test('neither answers: each is given their time, then the café is told to telephone both numbers', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await secondTechnician(stage);
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    await stage.until('61m');
    expect((await seen(stage, 'Ana has not answered', '#bar')).lines[1]).toContain('Ben is asked');
    await stage.until('61m');
    const told = await seen(stage, 'Please telephone', '#bar');
    expect(told.lines).toEqual(['Ben has not answered. Please telephone Ana: 555 0134', 'Please telephone Ben: 555 0177', 'I cannot telephone. You call.']);
    expect(told.buttons).toEqual(['Ask again']);
    await stage.close();
  });

  test('another time across the clock change, named on another clock: one instant for both sides', async () => {
    const stage = await open({ start: '2027-03-26T10:00:00Z' });
    await stage.person('ana').commands('visits', 'direct');
    await stage.person('ana').presses('My hours');
    await stage.person('ana').fills('', '', '', '', 'Africa/Tunis');
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    await stage.person('ana').presses('Other time');
    await stage.person('ana').fills('monday 15:30');
    expect((await seen(stage, "On the café's clock", 'Ana')).lines.join('\n')).toContain('Mon 29 Mar, 15:30');
    await stage.person('ola').presses('Yes, Mon 15:30');
    // Valencia is two hours ahead of UTC from 28 March 2027 on (last Sunday of March, EU rule); Tunis stays one ahead.
    expect((await seen(stage, 'Yours:', 'Ana')).lines.slice(0, 2)).toEqual(['Yours: Mon 29 Mar, 15:30. Drips at rest, group 2.', '14:30 on your own clock.']);
    expect([await files(stage, 'Ola'), await files(stage, 'Ana')]).toEqual([1, 1]);
    await stage.close();
  });

  test('called off by the owner with a reason: the technician hears it and both calendars lose it', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    await stage.person('ana').presses('Take today 15:00');
    await stage.person('ola').presses('Call it off');
    await stage.person('ola').presses('It works again');
    expect((await seen(stage, 'has called it off', 'Ana')).lines[0]).toBe('Lantern Street has called it off: It works again');
    expect((await seen(stage, 'Called off', '#bar')).lines[0]).toBe('Called off. Ana knows: It works again');
    expect([await files(stage, 'Ola'), await files(stage, 'Ana')]).toEqual([2, 2]);
    await stage.close();
  });

  test('the bar wants it called off: asked directly, the owner does it with a reason, and the question is settled for good', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    await stage.person('ana').presses('Take today 15:00');
    await stage.person('mia').presses('Call it off');
    expect((await seen(stage, 'Mia would like', 'Ola')).lines[1]).toBe('Ana is to come: today, 15:00. Shall I?');
    await stage.person('ola').presses('Call it off', 'Mia would like');
    await stage.person('ola').presses('It works again');
    expect((await seen(stage, 'has called it off', 'Ana')).lines[0]).toBe('Lantern Street has called it off: It works again');
    expect((await seen(stage, 'The visit is settled', 'Ola')).buttons).toEqual([]);
    await stage.close();
  });

  test("reached in the firm's own server, where nobody of the café is; taken there", async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('ola').commands('visits', 'direct');
    await stage.person('ola').presses('Unlink Ana');
    await linked(stage, 'ana', 'Ana', 'workshop');
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    const handed = await seen(stage, 'Drips at rest, group 2', '#workshop');
    expect(handed.lines.join('\n')).not.toMatch(/Lantern Street 12|555|ring twice/);
    expect((await stage.messages()).filter(({ place, lines }) => place === 'Ana' && lines.join(' ').includes('Drips at rest'))).toEqual([]);
    await stage.person('ana').presses('Take today 15:00');
    expect((await seen(stage, 'Ana has taken it', '#bar')).lines[0]).toBe('Ana has taken it: today, 15:00.');
    expect((await seen(stage, 'Yours:', '#workshop')).lines.join('\n')).toContain('Lantern Street 12');
    await stage.close();
  });

  test('direct messages closed and no other road: the second is asked at once', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await secondTechnician(stage);
    await stage.shut('ana');
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    expect((await seen(stage, 'could not be reached', '#bar')).lines).toEqual(['Ana could not be reached.', 'Ben is asked. Nothing is fixed until they take it.']);
    expect(await count(stage, 'Drips at rest, group 2. Lantern')).toBe(1);
    await stage.close();
  });

  test('direct messages closed and nobody else: told at once to telephone, with the number', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.shut('ana');
    await untilAsked(stage);
    await stage.person('ola').presses('Either');
    expect((await seen(stage, 'could not be reached', '#bar')).lines[0]).toBe('Ana could not be reached. Please telephone Ana: 555 0134');
    await stage.close();
  });
});
