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
