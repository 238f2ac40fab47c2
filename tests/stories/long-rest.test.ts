import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

/** Ola pauses the café and takes it up again so many days later, in the evening. */
const rested = async (stage: Stage, days: number): Promise<void> => {
  await stage.person('ola').says('pause the reminders', 'direct');
  await stage.person('ola').presses('Pause reminders');
  await stage.until(`in ${days} days 20:00`);
  await stage.person('ola').presses('Remind again');
  await stage.until('tomorrow 08:30');
};

describe.each(settings)('a café that comes back from a pause ($name)', ({ open }) => {
  test('after ten days the machine is looked at before it is used, once', async () => {
    const stage = await open();
    await rested(stage, 10);
    expect((await seen(stage, 'estart', '#bar')).lines[0]).toContain('Opening');
    expect(await count(stage, 'estart')).toBe(1);
    await stage.until('tomorrow 08:30');
    expect(await count(stage, 'estart')).toBe(1);
    await stage.close();
  });

  test('after three days it goes on as if nothing had been', async () => {
    const stage = await open();
    await rested(stage, 3);
    expect(await count(stage, 'estart')).toBe(0);
    await stage.close();
  });
});

describe.each(settings)('a job by use ($name)', ({ open }) => {
  test('the owner says after how many coffees it comes; what is no number changes nothing', async () => {
    const stage = await open();
    const ola = stage.person('ola');
    await ola.says('pause the reminders', 'direct');
    await ola.presses('Change jobs');
    await ola.picks('Look at baskets and spouts: holes, rims');
    expect((await seen(stage, 'Every 20,000 coffees', 'Ola')).buttons).toContain('How often');
    await ola.presses('How often');
    await ola.presses('Every so many');
    await ola.fills('a lot');
    expect((await seen(stage, 'whole number', 'Ola')).lines).toEqual(['I need a whole number such as 5000. Nothing was changed.']);
    await ola.presses('Every so many');
    await ola.fills('8 000');
    expect((await seen(stage, 'Every 8,000 coffees', 'Ola')).lines[1]).toContain('once a year at least');
    await stage.close();
  });
});
