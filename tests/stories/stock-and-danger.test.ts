import { describe, expect, test } from 'vitest';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

const FIRE = 'Flames or growing smoke: everyone out, call 112.';
const GAS = 'Leave now, take everyone. Read on outside.';
const BURN = 'Burn: cool running water on it now, for 20 minutes.';

describe.each(settings)('a danger beside what is said of the stock ($name)', ({ open }) => {
  test.each([
    ['stock: 2 screens, smoke comes out of the machine', FIRE],
    ['stock: smells of gas here', GAS],
    ['shelf - 1 seal 8.5 and lina burned her hand', BURN],
    ['spares with 1 pump\nthere are sparks at the plug', FIRE],
  ])('"%s": the danger is heard, and nothing is counted', async (text, first) => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('sam').says(text);
    expect((await seen(stage, first, '#bar')).lines[0]).toBe(first);
    await stage.person('ana').says(text.replace(/^\w+/, 'van'), 'direct');
    expect((await seen(stage, first, 'Ana')).lines[0]).toBe(first);
    expect([await count(stage, 'On the shelf of'), await count(stage, 'In your van')]).toEqual([0, 0]);
    await stage.close();
  });

  test('a plain list of parts raises no alarm, whatever its parts are called', async () => {
    const stage = await open({ start: '2027-03-09T09:05:00Z' });
    await stage.person('ola').says('stock: 2 vacuum breakers, 1 relay, 2 seals 8.5');
    expect((await seen(stage, 'On the shelf of', '#bar')).lines.join(' ')).toContain('2 vacuum breakers');
    await stage.person('ana').says('van: 1 vacuum breaker', 'direct');
    expect((await seen(stage, 'In your van', 'Ana')).lines).toEqual(['In your van: vacuum breaker.']);
    expect((await stage.messages()).filter(({ lines }) => /112|I cannot telephone/.test(lines.join(' ')))).toEqual([]);
    await stage.close();
  });
});
