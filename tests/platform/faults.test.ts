import { afterEach, expect, test } from 'vitest';
import { DiscordAPIError, HTTPError } from 'discord.js';
import { disconnectAll } from './bot.ts';
import { button, cafe, onInteraction, post, refusal, shown } from './cafe.ts';

afterEach(disconnectAll);
const quick = { rest: { timeout: 300, retries: 2 } };
const own = { content: 'Closing', nonce: 'delivery-7', enforceNonce: true } as const;

test.each<'502' | 'reset' | 'silence'>(['502', 'reset', 'silence'])('an answer lost by %s: one message, two calls, thanks to the nonce', async (by) => {
  const { text, double, bar, place } = await cafe({}, quick);
  double.plant('create_message', { kind: 'lose answer', by });
  const sent = await text.send(own);
  expect([place.messages(bar).map(({ id }) => id), double.sent('create_message').length]).toEqual([[sent.id], 2]);
  expect(double.problems()).toEqual([]);
});

test('an answer lost without an enforced nonce writes the message twice', async () => {
  const { client, double, bar, place } = await cafe();
  double.plant('create_message', { kind: 'lose answer', by: '502' });
  await post(client, bar, { content: 'Closing' });
  expect(place.messages(bar)).toHaveLength(2);
});

test('a line closed after the work is not tried again: the message stands, the sender does not know', async () => {
  const { text, double, bar, place } = await cafe();
  double.plant('create_message', { kind: 'lose answer', by: 'close' });
  await expect(text.send(own)).rejects.toThrow();
  expect([place.messages(bar).length, double.sent('create_message').length]).toEqual([1, 1]);
});

test('a reset before the work is tried again and done once', async () => {
  const { text, double, bar, place } = await cafe();
  double.plant('create_message', { kind: 'reset' });
  await text.send(own);
  expect([place.messages(bar).length, double.sent('create_message').length]).toEqual([1, 2]);
});

test('5xx more often than the client tries ends in an error and no message', async () => {
  const { text, double, bar, place } = await cafe();
  double.plant('create_message', { kind: 'refuse', status: 503 }, 3);
  await expect(text.send(own)).rejects.toBeInstanceOf(HTTPError);
  expect([place.messages(bar).length, double.sent('create_message').length]).toEqual([0, 3]);
  await text.send(own);
  expect(place.messages(bar)).toHaveLength(1);
});

test('429 is waited out by the client, with the seconds the platform named', async () => {
  const { text, double, bar, place, client } = await cafe();
  const limited: number[] = [];
  client.rest.on('rateLimited', (info) => limited.push(info.retryAfter));
  double.plant('create_message', { kind: 'too many', retryAfter: 0.05 });
  await text.send(own);
  expect([place.messages(bar).length, double.sent('create_message').map(({ status }) => status), double.invalidRequests()]).toEqual([1, [429, 200], 1]);
});

test('a planted refusal names its code: old messages may run out of edits (30046)', async () => {
  const { text, double } = await cafe();
  const sent = await text.send('Closing');
  double.plant('update_message', { kind: 'refuse', status: 400, code: 30046, message: 'Maximum number of edits to messages older than 1 hour reached.' });
  await expect(sent.edit('Done')).rejects.toBeInstanceOf(DiscordAPIError);
  expect((await sent.edit('Done')).content).toBe('Done');
});

test('a held request has not been done, a held answer has', async () => {
  const { text, double, bar, place } = await cafe();
  const before = double.plant('create_message', { kind: 'hold' });
  const first = text.send('one');
  await before.met();
  expect(place.messages(bar)).toHaveLength(0);
  before.release();
  await first;
  const after = double.plant('create_message', { kind: 'hold answer' });
  const mark = double.journal.mark();
  const second = text.send('two');
  await double.written(bar, mark);
  await double.gateway.heard();
  expect(place.messages(bar).map(({ content }) => content)).toEqual(['one', 'two']);
  expect(double.sent('create_message').map(({ status }) => status)).toEqual([200, undefined]);
  after.release();
  await second;
});

test('a reply whose answer was lost is refused the second time with 40060, though it stands', async () => {
  const all = await cafe();
  await all.text.send({ content: 'Closing', components: [button('a', 'Done: all')] });
  const codes: unknown[] = [];
  onInteraction(all.client, async (interaction) => {
    if (interaction.isButton()) codes.push((await refusal(interaction.reply('Stored'))).code);
  });
  all.double.plant('create_interaction_response', { kind: 'lose answer', by: '502' });
  const press = all.mia.press(shown(all), 'Done: all');
  expect((await press.answer()).content).toBe('Stored');
  await all.double.journal.until(0, 'the second try', (entry): entry is typeof entry & { kind: 'answered' } => entry.kind === 'answered' && entry.route === 'create_interaction_response' && entry.status === 400);
  await all.double.gateway.heard();
  expect(codes).toEqual([40060]);
});

test('a planted delay only makes the answer later', async () => {
  const { text, double, bar, place } = await cafe();
  double.plant('create_message', { kind: 'delay', ms: 20 });
  await text.send('late');
  expect(place.messages(bar)).toHaveLength(1);
});

test('faults are used up one by one, and only on their route', async () => {
  const { text, double } = await cafe();
  const planted = double.plant('delete_message', { kind: 'refuse', status: 500 }, 1);
  const sent = await text.send('x');
  await sent.delete();
  await planted.met();
  expect(double.sent('delete_message').map(({ status }) => status)).toEqual([500, 204]);
});
