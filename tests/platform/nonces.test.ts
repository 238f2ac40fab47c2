import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, post, refusal } from './cafe.ts';
import { NONCE_MS } from './double/nonces.ts';

afterEach(disconnectAll);
const own = { content: 'Closing', nonce: 'delivery-7', enforceNonce: true } as const;

test('the same nonce within the window gives back the first message and writes none', async () => {
  const { text, bar, place, double } = await cafe();
  const first = await text.send(own);
  double.advance(NONCE_MS);
  expect((await text.send(own)).id).toBe(first.id);
  expect(place.messages(bar)).toHaveLength(1);
});

test('the same nonce after the window writes a second message', async () => {
  const { text, bar, place, double } = await cafe();
  await text.send(own);
  double.advance(NONCE_MS + 1);
  await text.send(own);
  expect(place.messages(bar)).toHaveLength(2);
});

test('a nonce that is not enforced protects from nothing', async () => {
  const { text, bar, place } = await cafe();
  await text.send({ content: 'Closing', nonce: 'delivery-7' });
  await text.send({ content: 'Closing', nonce: 'delivery-7' });
  expect(place.messages(bar)).toHaveLength(2);
});

test('a nonce whose message was deleted is refused with 10008, not written anew', async () => {
  const { text, bar, place } = await cafe();
  await (await text.send(own)).delete();
  expect(await refusal(text.send(own))).toMatchObject({ code: 10008 });
  expect(place.messages(bar)).toEqual([]);
});

test('a nonce used in two channels is reported: no page says what the platform does', async () => {
  const { client, bar, place, double } = await cafe();
  const kitchen = place.channel('kitchen');
  for (const channel of [bar, kitchen]) await post(client, channel, { content: 'x', nonce: 'delivery-7', enforce_nonce: true });
  expect(double.problems().map(({ kind }) => kind)).toEqual(['nonce in two channels']);
});
