import { Events, Options, type Client } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll, INTENTS, newClient, ready } from './bot.ts';
import { cafe } from './cafe.ts';
import type { Double } from './double/double.ts';
import type { Entry } from './double/journal.ts';
import { openDouble } from './double/double.ts';
import { KEPT_MS } from './double/sessions.ts';

afterEach(disconnectAll);
/** The client leaves five seconds between two logins; a test need not. */
const hasty = { ws: { buildIdentifyThrottler: () => Promise.resolve({ waitForIdentify: () => Promise.resolve() }) } };
/** With messages in its cache the client drops a repeated one by itself, which would hide a repetition. */
const forgetful = { makeCache: Options.cacheWithLimits({ MessageManager: 0 }) };
type Of<K extends Entry['kind']> = Extract<Entry, { kind: K }>;
const happened = <K extends Entry['kind']>(double: Double, mark: number, kind: K): Promise<Of<K>> =>
  double.journal.until(mark, kind, (entry): entry is Of<K> => entry.kind === kind);
const contents = (client: Client): string[] => {
  const read: string[] = [];
  client.on(Events.MessageCreate, ({ content }) => void read.push(content));
  return read;
};
const named = (all: { client: Client<true> }, text: string): string => `<@${all.client.user.id}> ${text}`;

test.each<[string, (double: Double) => void]>([
  ['the line breaks', (double) => double.gateway.drop()],
  ['the platform closes with 4000', (double) => double.gateway.drop(4000)],
  ['the platform asks to reconnect', (double) => double.gateway.askToReconnect()],
])('when %s, the session is resumed and what was missed comes after, once', async (_name, trouble) => {
  const all = await cafe({}, forgetful);
  const read = contents(all.client);
  all.mia.say(all.bar, named(all, 'one'));
  await all.double.gateway.heard();
  const mark = all.double.journal.mark();
  trouble(all.double);
  await happened(all.double, mark, 'bot disconnected');
  all.mia.say(all.bar, named(all, 'two'));
  await happened(all.double, mark, 'bot resumed');
  await all.double.gateway.heard();
  expect(read).toEqual([named(all, 'one'), named(all, 'two')]);
  expect(all.double.gateway.identifies).toHaveLength(1);
});

test('an invalidated session means a new login, and what was said meanwhile is lost', async () => {
  const all = await cafe({}, hasty);
  const read = contents(all.client);
  const mark = all.double.journal.mark();
  all.double.gateway.invalidate();
  all.mia.say(all.bar, named(all, 'lost'));
  await happened(all.double, mark, 'bot connected');
  all.mia.say(all.bar, named(all, 'heard'));
  await all.double.gateway.heard();
  expect([read, all.double.gateway.identifies.length]).toEqual([[named(all, 'heard')], 2]);
});

test('a session away for longer than the platform keeps it is not resumed', async () => {
  const all = await cafe({}, hasty);
  const mark = all.double.journal.mark();
  all.double.gateway.drop();
  await happened(all.double, mark, 'bot disconnected');
  all.double.advance(KEPT_MS + 1);
  await happened(all.double, mark, 'bot connected');
  expect(all.double.gateway.identifies).toHaveLength(2);
});

test('a deaf connection is noticed by the missing beat and resumed', async () => {
  const all = await cafe({ beatMs: 60 });
  const read = contents(all.client);
  // A busy machine misses a second beat too, and resumes again before the message is through: it is waited for itself.
  const arrived = new Promise((resolve) => void all.client.once('messageCreate', resolve));
  const mark = all.double.journal.mark();
  all.double.gateway.deafen();
  all.mia.say(all.bar, named(all, 'unheard'));
  await happened(all.double, mark, 'bot resumed');
  await arrived;
  await all.double.gateway.heard();
  expect(read).toEqual([named(all, 'unheard')]);
});

test('a token revoked while running ends with 4004 and no new login', async () => {
  const all = await cafe();
  const gone = new Promise<number>((resolve) => all.client.on(Events.ShardDisconnect, ({ code }) => resolve(code)));
  all.double.revokeToken();
  expect(await gone).toBe(4004);
  await expect(all.text.send('x')).rejects.toThrow();
  expect(all.double.gateway.identifies).toHaveLength(1);
});

test('a wrong token is refused at login', async () => {
  const double = await openDouble();
  const client = newClient(double);
  await expect(client.login('another.loopback.token')).rejects.toThrow('invalid token');
  await client.destroy();
  await double.close();
});

test('the message content intent asked for but not granted closes with 4014', async () => {
  const double = await openDouble();
  const client = newClient(double, { intents: [...INTENTS, 1 << 15] });
  client.on(Events.Error, () => undefined);
  await expect(client.login(double.token)).rejects.toThrow('disallowed intents');
  expect(double.gateway.sessions.size).toBe(0);
  await client.destroy();
  await double.close();
});

test('while the platform is away nothing connects; back again, a login works', async () => {
  const double = await openDouble();
  double.away();
  const client = newClient(double);
  await expect(client.login(double.token)).rejects.toThrow();
  double.back();
  const again = newClient(double);
  expect((await ready(again, double.token)).user.username).toBe('grouphand');
  await Promise.all([client.destroy(), again.destroy()]);
  await double.close();
});

test('an ordered end gives the session up: a later login starts afresh', async () => {
  const { client, double } = await cafe();
  const mark = double.journal.mark();
  await client.destroy();
  await happened(double, mark, 'bot disconnected');
  expect(double.gateway.sessions.size).toBe(0);
});

test('an event can be lost, or come twice', async () => {
  const all = await cafe({}, forgetful);
  const read = contents(all.client);
  all.double.gateway.repeatNext('MESSAGE_CREATE', 2);
  all.mia.say(all.bar, named(all, 'twice'));
  all.double.gateway.repeatNext('MESSAGE_CREATE', 0);
  all.mia.say(all.bar, named(all, 'never'));
  await all.double.gateway.heard();
  expect(read).toEqual([named(all, 'twice'), named(all, 'twice')]);
});

test('an event without its intent does not arrive', async () => {
  const all = await cafe({}, { intents: INTENTS.slice(0, 1) });
  const read = contents(all.client);
  all.mia.say(all.bar, named(all, 'unasked'));
  await all.double.gateway.heard();
  expect(read).toEqual([]);
});

test('removal and outage of a guild tell themselves apart', async () => {
  const { client, double, place } = await cafe();
  const told: string[] = [];
  client.on(Events.GuildUnavailable, () => void told.push('outage'));
  client.on(Events.GuildAvailable, () => void told.push('back'));
  client.on(Events.GuildDelete, () => void told.push('removed'));
  client.on(Events.GuildCreate, () => void told.push('invited'));
  place.outage();
  place.restore();
  place.kickBot();
  place.invite();
  await double.gateway.heard();
  expect(told).toEqual(['outage', 'back', 'removed', 'invited']);
});

test('a direct reaction reaches the bot only once the direct channel is known to the client', async () => {
  const all = await cafe();
  const told: string[] = [];
  all.client.on(Events.MessageReactionAdd, ({ emoji }, user) => void told.push(`${emoji.name} ${user.id}`));
  const direct = await all.client.users.createDM(all.mia.id);
  await direct.send('Booking');
  const [booking] = all.mia.screen(all.mia.direct());
  if (!booking) throw new Error('nothing came');
  all.mia.react(booking, '✅');
  await all.double.gateway.heard();
  expect(told).toEqual([`✅ ${all.mia.id}`]);
  const fresh = await ready(newClient(all.double), all.double.token);
  fresh.on(Events.MessageReactionAdd, ({ emoji }) => void told.push(`fresh ${emoji.name}`));
  all.mia.unreact(booking, '✅');
  all.mia.react(booking, '👍');
  await all.double.gateway.heard();
  await fresh.destroy();
  expect(told).toEqual([`✅ ${all.mia.id}`, `👍 ${all.mia.id}`]);
});
