import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, post } from './cafe.ts';
import { newPacer } from './double/pace.ts';

afterEach(disconnectAll);

test('five in five seconds for one bucket: the sixth is told how long to wait, another bucket is free', () => {
  let now = 0;
  const pacer = newPacer({ most: 5, perMs: 5000 }, undefined, () => now);
  const five = Array.from({ length: 5 }, () => pacer('create_message 1', true));
  expect(five.map(({ headers }) => headers['x-ratelimit-remaining'])).toEqual(['4', '3', '2', '1', '0']);
  now = 1000;
  expect(pacer('create_message 1', true).wait).toEqual({ seconds: 4, global: false });
  expect(pacer('create_message 2', true).wait).toBeUndefined();
  now = 5000;
  expect(pacer('create_message 1', true).wait).toBeUndefined();
});

test('fifty a second for the whole bot, answers to interactions not counted', () => {
  let now = 0;
  const pacer = newPacer(undefined, { most: 50, perMs: 1000 }, () => now);
  const waits = Array.from({ length: 51 }, (_, i) => pacer(`route ${i}`, true).wait);
  expect(waits.filter((wait) => wait !== undefined)).toEqual([{ seconds: 1, global: true }]);
  expect(pacer('create_interaction_response', false).wait).toBeUndefined();
  now = 1000;
  expect(pacer('route', true).wait).toBeUndefined();
});

test('the client paces itself by the headers: no request is refused', async () => {
  const { text, double, bar, place } = await cafe({ pacePerRoute: { most: 3, perMs: 150 } });
  await Promise.all(Array.from({ length: 7 }, (_, i) => text.send(`${i}`)));
  expect(place.messages(bar).map(({ content }) => content)).toEqual(['0', '1', '2', '3', '4', '5', '6']);
  expect([double.problems(), double.invalidRequests()]).toEqual([[], 0]);
});

test('a client that minds no pace is answered 429 and reported', async () => {
  const { client, double, bar, place } = await cafe({ paceOfBot: { most: 5, perMs: 200 } });
  await Promise.all(Array.from({ length: 8 }, (_, i) => post(client, i % 2 === 0 ? bar : place.channel(`c${i}`), { content: 'x' })));
  expect(double.problems().map(({ kind }) => kind)).toContain('too fast');
  expect(double.sent('create_message').filter(({ status }) => status === 200)).toHaveLength(8);
});
