import { DiscordAPIError, HTTPError } from 'discord.js';
import { afterEach, describe, expect, test } from 'vitest';
import { button, message, type Message } from '../../src/chat/message.ts';
import type { Refusal } from '../../src/chat/port.ts';
import { press } from '../../src/chat/press.ts';
import { channel, direct, personId, type PlaceId } from '../../src/chat/who.ts';
import { refusalOf } from '../../src/discord/refusals.ts';
import { createIds } from '../../src/store/id.ts';
import { post, redraw, SAID, said, type Notice } from '../../src/store/post.ts';
import { read, transact } from '../../src/store/transact.ts';
import { later, minutes } from '../../src/time/instant.ts';
import type { Fault } from '../platform/double/faults.ts';
import { may } from '../platform/double/permissions.ts';
import { wordsOf } from '../platform/double/seen.ts';
import type { Message as Shown } from '../platform/double/world.ts';
import { closeBenches, openBench, storeCafe, type Bench, type BenchOptions } from './bench.ts';

afterEach(closeBenches);

const bare = async (options: BenchOptions = {}): Promise<Bench> => openBench({ ...options, subject: () => ({}) });
const text = (words: string): Message => message([words], [button('Done: all', press('routine.done', 'a'))]);

const send = async (bench: Bench, notice: Partial<Notice> & { readonly place: PlaceId }, words: Message = text('Closing:')): Promise<void> => {
  await transact(bench.store, [], (tx) => post(tx, createIds(), bench.clock.now(), { key: 'a', kind: SAID, data: said(words), priority: 'reminder', ...notice }));
  await bench.connection.bot.sender.drain();
};
const pass = async (bench: Bench, ms: number): Promise<void> => {
  bench.clock.moveTo(later(bench.clock.now(), ms));
  await bench.connection.bot.sender.drain();
};
const stateOf = async (bench: Bench, key = 'a') => read(bench.store, (tx) => tx.selectFrom('outbox').select(['state', 'trouble', 'message_id', 'attempts']).where('key', '=', key).executeTakeFirst());
const inBar = (bench: Bench): readonly string[] => bench.shown().map(wordsOf);
const first = (bench: Bench): Shown => bench.shown()[0] ?? (() => { throw new Error('nothing is shown'); })();

describe('a message', () => {
  test('is a plain message of the channel, with its own nonce held against repeats, and calls nobody by itself', async () => {
    const bench = await bare();
    await send(bench, { place: channel(bench.bar.id) });
    const [request] = bench.double.sent('create_message');
    expect(request?.body).toMatchObject({ content: 'Closing:', enforce_nonce: true, allowed_mentions: { parse: [], users: [], roles: [], replied_user: false } });
    expect((request?.body as { nonce: string } | undefined)?.nonce).toMatch(/^.{24}$/);
    expect([first(bench).interactionId, bench.double.problems()]).toEqual([undefined, []]);
  });

  test('rings for those named and for the role, and for nobody else; a silent one for nobody', async () => {
    const bench = await bare();
    const sam = bench.place.person('Sam');
    await send(bench, { place: channel(bench.bar.id), notify: [personId(sam.id)] }, text('Mia says @everyone'));
    await send(bench, { key: 'b', place: channel(bench.bar.id), notifyRoles: [bench.role.id] });
    await send(bench, { key: 'c', place: channel(bench.bar.id), notify: [personId(sam.id)], silent: true });
    expect([sam.rang().length, bench.mia.rang().length, bench.ola.rang().length]).toEqual([1, 1, 0]);
  });

  test('answers the message it answers, which may be gone', async () => {
    const bench = await bare();
    const { message: words } = bench.mia.say(bench.bar, 'done');
    await send(bench, { place: channel(bench.bar.id), replyTo: words.id });
    bench.mia.erase(words);
    await send(bench, { key: 'b', place: channel(bench.bar.id), replyTo: words.id });
    expect([bench.shown().map(({ replyTo }) => replyTo?.messageId), bench.double.problems()]).toEqual([[words.id, undefined], []]);
  });

  test('goes out without its reply where the bot may not look back', async () => {
    const bench = await bare();
    const { message: words } = bench.mia.say(bench.bar, 'done');
    bench.double.plant('create_message', { kind: 'refuse', status: 400, code: 160002 });
    await send(bench, { place: channel(bench.bar.id), replyTo: words.id });
    expect([first(bench).replyTo, (await stateOf(bench))?.state]).toEqual([undefined, 'sent']);
  });

  test('to a person opens their direct messages', async () => {
    const bench = await bare();
    await send(bench, { place: direct(personId(bench.ola.id)) });
    expect(bench.ola.screen(bench.ola.direct()).map(wordsOf)).toEqual(['Closing:']);
  });
});

describe('pictures and papers', () => {
  const withPaper = (words: string, name: string): Message => ({ ...text(words), pictures: [{ name, alt: 'Five handles; straight points at you.', draw: async () => new TextEncoder().encode(name) }], files: [{ name: 'visit.ics', bytes: new TextEncoder().encode('BEGIN') }] });
  const drawing = async (): Promise<Bench & { readonly now: { shown: Message } }> => {
    const now = { shown: withPaper('Where does it point?', 'handle.png') };
    const bench = await openBench({
      subject: () => ({
        notices: [{ kind: 'paper', show: async () => now.shown }],
        presses: [{ kind: 'routine.done', ack: 'private', right: 'anyone', take: async () => ({ kind: 'private', message: withPaper('Look:', 'card.png') }) }],
      }),
    });
    await send(bench, { place: channel(bench.bar.id), kind: 'paper', data: {} });
    return { ...bench, now };
  };

  test('are uploaded with the message, a picture with what it tells', async () => {
    const bench = await drawing();
    expect(first(bench).attachments.map(({ filename, description, bytes }) => [filename, description, new TextDecoder().decode(bytes)])).toEqual([['handle.png', 'Five handles; straight points at you.', 'handle.png'], ['visit.ics', undefined, 'BEGIN']]);
    expect(bench.double.problems()).toEqual([]);
  });

  test('are changed with it, and leave with it', async () => {
    const bench = await drawing();
    for (const [next, files] of [[withPaper('Now:', 'other.png'), ['other.png', 'visit.ics']], [text('Done.'), []]] as const) {
      bench.now.shown = next;
      await transact(bench.store, [], (tx) => redraw(tx, 'a', bench.clock.now()));
      await bench.settle();
      expect(first(bench).attachments.map(({ filename }) => filename)).toEqual(files);
    }
    expect(bench.double.problems()).toEqual([]);
  });

  test('come with a private answer too', async () => {
    const bench = await drawing();
    const told = await bench.mia.press(first(bench), 'Done: all').privately();
    expect([told.attachments.map(({ filename }) => filename), told.onlyFor, bench.double.problems()]).toEqual([['card.png', 'visit.ics'], bench.mia.id, []]);
  });

  test('one that is too large for the platform: the owner is told that the record is safe', async () => {
    const bench = await drawing();
    await storeCafe(bench);
    bench.now.shown = { lines: [{ text: 'Sheet' }], files: [{ name: 'sheet.pdf', bytes: new Uint8Array(10 * 1024 * 1024 + 1) }] };
    await send(bench, { key: 'b', cafe: 'cafe1', place: channel(bench.bar.id), kind: 'paper', data: {} });
    await bench.settle();
    expect([(await stateOf(bench, 'b'))?.trouble, bench.ola.screen(bench.ola.direct()).map((each) => wordsOf(each).split('\n')[0])]).toEqual(['too-large', ['A file was too large for the chat of Lantern Street.']]);
  });
});

describe('what the platform will not do', () => {
  test.each<[string, number, number, Refusal['why']]>([
    ['channel deleted', 404, 10003, 'channel-gone'], ['server gone', 404, 10004, 'channel-gone'], ['message deleted', 404, 10008, 'message-gone'], ['no access', 403, 50001, 'no-permission'],
    ['no permission', 403, 50013, 'no-permission'], ['another 403', 403, 0, 'no-permission'], ['direct messages closed', 403, 50007, 'direct-closed'], ['no server in common', 403, 50278, 'direct-closed'], ['nobody of that name', 404, 10013, 'direct-closed'],
    ['thread archived', 400, 50083, 'archived'], ['thread locked', 400, 160005, 'archived'], ['too large', 413, 40005, 'too-large'],
    ['slow mode', 429, 20016, 'unavailable'], ['write limit', 429, 20028, 'unavailable'], ['old edits', 429, 30046, 'unavailable'], ['direct messages too fast', 400, 40003, 'unavailable'], ['overloaded', 503, 130000, 'unavailable'],
  ])('%s: %i %i is "%s"', (_name, status, code, why) => {
    const error = new DiscordAPIError({ code, message: 'x' }, code, status, 'POST', 'u', {});
    expect(refusalOf(error)?.why).toBe(why);
  });

  test('a fault of our own is no refusal', () => {
    expect(refusalOf(new DiscordAPIError({ code: 50035, message: 'x' }, 50035, 400, 'POST', 'u', {}))).toBeUndefined();
    expect(refusalOf(new RangeError('a message no chat can show'))).toBeUndefined();
    expect(refusalOf(new HTTPError(502, 'Bad Gateway', 'POST', 'u', {}))).toEqual({ why: 'unavailable' });
  });

  test.each<[string, (bench: Bench) => void, string]>([
    ['a channel that was deleted', ({ place, bar }) => place.removeChannel(bar), 'I cannot find the channel of Lantern Street any more.'],
    ['a channel the bot may not write in', ({ place, bar }) => place.denyBot(bar, may.SendMessages), 'I may not write in the channel of Lantern Street.'],
    ['a channel the bot may not see', ({ place, bar }) => place.denyBot(bar, may.ViewChannel), 'I may not write in the channel of Lantern Street.'],
  ])('%s: the owner is told directly, once, with the cure', async (_name, spoil, told) => {
    const bench = await bare();
    await storeCafe(bench);
    spoil(bench);
    await send(bench, { place: channel(bench.bar.id), cafe: 'cafe1' });
    await send(bench, { key: 'b', place: channel(bench.bar.id), cafe: 'cafe1' });
    await bench.settle();
    expect(bench.ola.screen(bench.ola.direct()).map((each) => wordsOf(each).split('\n')[0])).toEqual([told]);
    expect([(await stateOf(bench))?.state, bench.double.invalidRequests()]).toEqual(['ready', _name.includes('deleted') ? 0 : 2]);
  });

  test('someone who takes no direct messages: kept as failed, tried once, nobody else written to', async () => {
    const bench = await bare({ set: (_double, { mia }) => void (mia.user.door = 'closed') });
    await send(bench, { place: direct(personId(bench.mia.id)) });
    await pass(bench, minutes(30));
    expect([(await stateOf(bench))?.state, (await stateOf(bench))?.trouble, bench.double.sent('create_message').length]).toEqual(['failed', 'direct-closed', 1]);
  });

  test('a person who left the server is not pestered', async () => {
    const bench = await bare();
    bench.place.leave(bench.mia);
    await send(bench, { place: direct(personId(bench.mia.id)) });
    await pass(bench, minutes(30));
    expect([(await stateOf(bench))?.trouble, bench.double.sent('create_message').length]).toEqual(['direct-closed', 1]);
  });

  test('a shown message that somebody deleted is not changed again and again', async () => {
    const bench = await bare();
    await send(bench, { place: channel(bench.bar.id) });
    bench.ola.erase(first(bench));
    await transact(bench.store, [], async (tx) => {
      await tx.updateTable('outbox').set({ data: JSON.stringify(said(message(['Done.']))) }).where('key', '=', 'a').execute();
      await redraw(tx, 'a', bench.clock.now());
    });
    for (let i = 0; i < 5; i++) await pass(bench, 20_000);
    expect(bench.double.sent('update_message').map(({ status }) => status)).toEqual([404]);
  });

  test.each(['shared', 'global'] as const)('told to wait a quarter of an hour (%s): not asked again before, sent once after, and nobody is troubled', async (scope) => {
    const bench = await bare();
    await storeCafe(bench);
    bench.double.plant('create_message', { kind: 'too many', retryAfter: 900, scope });
    await send(bench, { place: channel(bench.bar.id), cafe: 'cafe1' });
    for (let i = 0; i < 14; i++) await pass(bench, minutes(1));
    expect([bench.double.sent('create_message').length, await stateOf(bench)]).toEqual([1, expect.objectContaining({ state: 'ready', trouble: 'unavailable' })]);
    // The client library counts the wait on the real clock: a process started meanwhile knows nothing of it.
    const next = await bench.again();
    await pass(next, minutes(1));
    expect([inBar(next), (await stateOf(next))?.state, bench.ola.screen(bench.ola.direct())]).toEqual([['Closing:'], 'sent', []]);
  });

  test('a change that arrived though its answer was lost, and was taken back meanwhile, is made undone', async () => {
    const bench = await bare();
    const becomes = async (words: string): Promise<void> => {
      await transact(bench.store, [], async (tx) => {
        await tx.updateTable('outbox').set({ data: JSON.stringify(said(message([words]))) }).where('key', '=', 'a').execute();
        await redraw(tx, 'a', bench.clock.now());
      });
      await bench.connection.bot.sender.drain();
    };
    await send(bench, { place: channel(bench.bar.id) }, message(['Closing:']));
    bench.double.plant('update_message', { kind: 'lose answer', by: 'close' });
    await becomes('Done.');
    expect(inBar(bench)).toEqual(['Done.']);
    await becomes('Closing:');
    for (let i = 0; i < 2; i++) await pass(bench, 11_000);
    expect(inBar(bench)).toEqual(['Closing:']);
  });

  test('a limit on changing old messages rests the changes of that channel for a minute, then they are made', async () => {
    const bench = await bare();
    await send(bench, { place: channel(bench.bar.id) });
    bench.double.plant('update_message', { kind: 'refuse', status: 400, code: 30046 });
    await transact(bench.store, [], async (tx) => {
      await tx.updateTable('outbox').set({ data: JSON.stringify(said(message(['Done.']))) }).where('key', '=', 'a').execute();
      await redraw(tx, 'a', bench.clock.now());
    });
    for (let i = 0; i < 5; i++) await pass(bench, 11_000);
    expect([bench.double.sent('update_message').length, inBar(bench)]).toEqual([1, ['Closing:']]);
    for (let i = 0; i < 6; i++) await pass(bench, 11_000);
    expect([bench.double.sent('update_message').length, inBar(bench)]).toEqual([2, ['Done.']]);
  });
});

describe('answers lost on the way', () => {
  const faults: readonly (readonly [string, Fault])[] = [
    ['answer lost, 502', { kind: 'lose answer', by: '502' }], ['answer lost, line reset', { kind: 'lose answer', by: 'reset' }], ['answer lost, line closed', { kind: 'lose answer', by: 'close' }],
    ['line reset before', { kind: 'reset' }], ['line closed before', { kind: 'close' }], ['503', { kind: 'refuse', status: 503 }], ['told to slow down', { kind: 'too many', retryAfter: 0.05 }],
  ];
  test.each(faults)('%s: the message stands once', async (_name, fault) => {
    const bench = await bare();
    bench.double.plant('create_message', fault);
    await send(bench, { place: channel(bench.bar.id) });
    for (let i = 0; i < 4; i++) await pass(bench, 10_000);
    expect([inBar(bench), (await stateOf(bench))?.state, (await stateOf(bench))?.message_id]).toEqual([['Closing:'], 'sent', first(bench).id]);
    expect(bench.double.problems().filter(({ kind }) => kind !== 'too fast')).toEqual([]);
  });

  test('an outage longer than the platform remembers: history is looked through before anything is sent again', async () => {
    const bench = await bare();
    bench.double.plant('create_message', { kind: 'lose answer', by: 'close' });
    bench.double.plant('create_message', { kind: 'refuse', status: 503 }, 30);
    await send(bench, { place: channel(bench.bar.id) });
    for (let i = 0; i < 8; i++) await pass(bench, minutes(1));
    expect([inBar(bench), (await stateOf(bench))?.state, bench.double.sent('list_messages').length]).toEqual([['Closing:'], 'sent', 1]);
  });

  test('the same when it never arrived: looked for, not found, sent', async () => {
    const bench = await bare();
    bench.mia.say(bench.bar, 'Closing:');
    bench.double.plant('create_message', { kind: 'refuse', status: 503 }, 18);
    await send(bench, { place: channel(bench.bar.id) });
    for (let i = 0; i < 10; i++) await pass(bench, minutes(1));
    expect([inBar(bench), (await stateOf(bench))?.state]).toEqual([['Closing:'], 'sent']);
  });

  test('a history that cannot be read proves nothing: rather none than two, and the owner is told', async () => {
    const bench = await bare();
    await storeCafe(bench);
    bench.double.plant('create_message', { kind: 'lose answer', by: 'close' });
    await send(bench, { place: channel(bench.bar.id), cafe: 'cafe1' });
    bench.place.denyBot(bench.bar, may.ReadMessageHistory);
    await bench.double.gateway.heard();
    bench.double.plant('create_message', { kind: 'refuse', status: 503 }, 3);
    await pass(bench, 5000);
    await pass(bench, minutes(5));
    expect([inBar(bench), (await stateOf(bench))?.trouble]).toEqual([['Closing:'], 'unreadable']);
    expect(bench.ola.screen(bench.ola.direct()).map((each) => wordsOf(each).split('\n')[0])).toEqual(['A message to Lantern Street may be missing: I cannot look back there.']);
  });
});
