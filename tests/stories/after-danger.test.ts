import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

describe.each(settings)('questions wait for a danger ($name)', ({ open }) => {
  test('after a smell of gas no question leads to a job, neither the one put aside nor a new one', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('mia').says('the coffee tastes rancid');
    await stage.person('mia').says('it smells of gas in here');
    expect((await seen(stage, 'Put aside: Tastes bad', '#bar')).buttons).toEqual(['Carry on']);
    await stage.person('mia').presses('Carry on');
    expect((await seen(stage, 'First the danger', '#bar')).lines).toEqual(['First the danger: please answer its message.', 'Your answers are kept. Carry on after that.']);
    await stage.person('mia').presses('Everyone is out');
    await stage.person('mia').presses('Carry on');
    expect((await seen(stage, 'Your answers are kept', '#bar')).lines[0]).toBe('The machine must stay off until it is freed.');
    await stage.person('mia').says('the left group drips round the handle');
    expect((await seen(stage, 'Tell me again after that', '#bar')).lines[0]).toBe('The machine must stay off until it is freed.');
    expect(await count(stage, 'Bar job')).toBe(0);
    await stage.close();
  });
});
