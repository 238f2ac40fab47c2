import { afterEach, describe, expect, test } from 'vitest';
import type { Said, Subject, TickMarkRoute } from '../../src/cafe/subject.ts';
import type { Parts } from '../../src/assemble.ts';
import { button, message } from '../../src/chat/message.ts';
import { press } from '../../src/chat/press.ts';
import { channel, direct, personId } from '../../src/chat/who.ts';
import { isTick } from '../../src/discord/listen.ts';
import { createIds } from '../../src/store/id.ts';
import { post, SAID, said } from '../../src/store/post.ts';
import { transact } from '../../src/store/transact.ts';
import { messageWire } from '../platform/double/wire-message.ts';
import type { Channel, Message } from '../platform/double/world.ts';
import { wordsOf } from '../platform/double/seen.ts';
import { closeBenches, openBench, storeCafe, type Bench, type BenchOptions } from './bench.ts';

afterEach(closeBenches);

type Noted = Pick<Said, 'text' | 'readable' | 'addressed' | 'voice'> & { readonly by: string; readonly roles: number; readonly manages: boolean; readonly reply: string | undefined; readonly files: readonly string[]; readonly cafes: number; readonly space: boolean };
type Listening = { readonly bench: Bench; readonly words: Noted[]; readonly marks: string[] };

/** A bot that notes what it hears and answers what is addressed to it. */
const listening = async (options: BenchOptions = {}): Promise<Listening> => {
  const words: Noted[] = [];
  const marks: string[] = [];
  const note = (heard: Said, files: readonly string[]): Noted => ({
    text: heard.text, readable: heard.readable, addressed: heard.addressed, voice: heard.voice, by: heard.by.name, roles: heard.by.roles.length, manages: heard.by.manages, reply: heard.reply?.key, files, cafes: heard.cafes.length, space: heard.space !== undefined,
  });
  const mark: TickMarkRoute = { kind: SAID, take: async ({ by, given, shown }) => void marks.push(`${by.name} ${by.roles.length} ${given ? 'gives' : 'takes'} ${shown.key}`) };
  const subject = (_parts: Parts): Subject => ({
    words: [{ name: 'note', order: 90, take: async (heard) => {
      const files = await Promise.all(heard.attachments.map(async (each) => `${each.name} ${each.kind} ${new TextDecoder().decode(await each.fetch())}`));
      words.push(note(heard, files));
      return heard.text.startsWith('quiet') ? undefined : { kind: 'say', message: message(['Heard.']) };
    } }],
    tickMarks: [mark],
  });
  const bench = await openBench({ ...options, subject });
  await storeCafe(bench);
  await transact(bench.store, [], async (tx) => {
    await post(tx, createIds(), bench.clock.now(), { key: 'list', place: channel(bench.bar.id), kind: SAID, data: said(message(['Closing:'], [button('Done: all', press('routine.done', 'a'))])), priority: 'reminder' });
  });
  await bench.settle();
  return { bench, words, marks };
};
const list = ({ bench }: Listening): Message => bench.shown()[0] ?? (() => { throw new Error('no list') })();
const picture = (name: string, type: string, words = 'drip') => ({ name, type, bytes: new TextEncoder().encode(words) });
const everything: BenchOptions = { double: { granted: { messageContent: true } } };

describe('words in the channel', () => {
  test('a bare "done" is read where the application may read everything, with who said it', async () => {
    const all = await listening(everything);
    all.bench.mia.say(all.bench.bar, 'done');
    all.bench.ola.say(all.bench.bar, 'thanks');
    await all.bench.settle();
    expect(all.words.map(({ text, addressed, readable, by, roles, manages, cafes, space }) => ({ text, addressed, readable, by, roles, manages, cafes, space }))).toEqual([
      { text: 'done', addressed: false, readable: true, by: 'Mia', roles: 1, manages: false, cafes: 1, space: true },
      { text: 'thanks', addressed: false, readable: true, by: 'Ola', roles: 0, manages: true, cafes: 1, space: true },
    ]);
  });

  test('the right to read everything is asked for only where the application has it', async () => {
    const [with_, without] = [await listening(everything), await listening()];
    const asked = ({ bench }: Listening): boolean => [...bench.double.gateway.sessions.values()].some(({ intents }) => (intents & (1 << 15)) !== 0);
    expect([asked(with_), asked(without)]).toEqual([true, false]);
  });

  test('without it: a mention, a reply that calls, and direct messages are read in full', async () => {
    const all = await listening();
    const { bench } = all;
    bench.mia.say(bench.bar, `<@${bench.double.world.bot.userId}> done`);
    await bench.settle();
    bench.mia.say(bench.bar, 'all done except 3', { replyTo: list(all) });
    await bench.settle();
    bench.mia.say(bench.mia.direct(), 'which job');
    await bench.settle();
    expect(all.words.map(({ text, addressed, reply }) => [text, addressed, reply])).toEqual([['done', true, undefined], ['all done except 3', true, 'list'], ['which job', true, undefined]]);
    expect(bench.mia.screen(bench.mia.direct()).map(wordsOf)).toEqual(['which job', 'Heard.']);
  });

  test('without it a reply that calls nobody is known as a reply, its words withheld', async () => {
    const all = await listening();
    all.bench.mia.say(all.bench.bar, 'done', { replyTo: list(all), ping: false });
    await all.bench.settle();
    expect(all.words).toMatchObject([{ text: '', readable: false, addressed: true, reply: 'list' }]);
  });

  test('without it bare chatter is passed over, and nobody is answered', async () => {
    const all = await listening();
    all.bench.mia.say(all.bench.bar, 'who takes Sunday?');
    await all.bench.settle();
    expect([all.words, all.bench.shown().length]).toEqual([[], 1]);
  });

  test('chatter in other channels is nobody’s business, a word to the bot there is', async () => {
    const all = await listening(everything);
    const other = all.bench.place.channel('staff');
    all.bench.mia.say(other, 'done');
    all.bench.mia.say(other, `<@${all.bench.double.world.bot.userId}> done`);
    await all.bench.settle();
    expect(all.words.map(({ text }) => text)).toEqual(['done']);
    expect(all.bench.place.messages(other).map(wordsOf).at(-1)).toBe('Heard.');
  });

  test('direct messages carry no roles, whatever the person is elsewhere', async () => {
    const all = await listening();
    all.bench.ola.say(all.bench.ola.direct(), 'quiet hello');
    await all.bench.settle();
    expect(all.words).toMatchObject([{ by: 'Ola', roles: 0, manages: false, space: false }]);
  });

  test('an event that comes twice is taken once', async () => {
    const all = await listening();
    all.bench.double.gateway.repeatNext('MESSAGE_CREATE', 2);
    all.bench.mia.say(all.bench.mia.direct(), 'done');
    await all.bench.settle();
    expect([all.words.length, all.bench.mia.screen(all.bench.mia.direct()).length]).toEqual([1, 2]);
  });

  test('two sentences of one person are taken in their order', async () => {
    const all = await listening();
    for (const n of [1, 2, 3, 4, 5]) all.bench.mia.say(all.bench.mia.direct(), `quiet ${n}`);
    await all.bench.settle();
    expect(all.words.map(({ text }) => text)).toEqual([1, 2, 3, 4, 5].map((n) => `quiet ${n}`));
  });

  test('a flood from one person ends in silence, and others are still answered', async () => {
    const all = await listening();
    for (let n = 0; n < 60; n++) all.bench.mia.say(all.bench.mia.direct(), `quiet ${n}`);
    all.bench.ola.say(all.bench.ola.direct(), 'done');
    await all.bench.settle();
    expect([all.words.filter(({ by }) => by === 'Mia').length, all.words.filter(({ by }) => by === 'Ola').length]).toEqual([30, 1]);
  });

  test('other bots, hooks and the platform’s own notes are not listened to', async () => {
    const all = await listening(everything);
    const { bench } = all;
    for (const more of [{ author: { id: '77', username: 'other', discriminator: '0', bot: true } }, { webhook_id: '78' }, { type: 7 }]) told(bench, bench.bar, more);
    await bench.settle();
    expect(all.words).toEqual([]);
  });
});

/** A message event the double has no finger for: what Mia says there, with other fields. */
const told = ({ double, mia, place }: Bench, where: Channel, more: object): void => {
  double.gateway.repeatNext('MESSAGE_CREATE', 0);
  const { message: words } = mia.say(where, 'quiet');
  const member = where.guildId === undefined ? {} : { guild_id: where.guildId, member: { roles: place.guild.members.get(mia.id)?.roles, joined_at: '2027-01-01T00:00:00Z', deaf: false, mute: false, flags: 0 } };
  double.gateway.dispatch('MESSAGE_CREATE', { ...messageWire(double.world, words), channel_type: where.type, ...member, ...more }, 0);
};

describe('photos, voice notes, stickers', () => {
  test('photos and papers come with their bytes, films and large files are passed over', async () => {
    const all = await listening();
    all.bench.mia.say(all.bench.mia.direct(), 'quiet look', { files: [picture('leak.jpg', 'image/jpeg'), picture('manual.pdf', 'application/pdf', 'page'), picture('drip.mp4', 'video/mp4'), { name: 'huge.png', type: 'image/png', bytes: new Uint8Array(10 * 1024 * 1024 + 1) }] });
    await all.bench.settle();
    expect(all.words[0]?.files).toEqual(['leak.jpg image/jpeg drip', 'manual.pdf application/pdf page']);
  });

  test('a photo alone is no empty message', async () => {
    const all = await listening();
    all.bench.mia.say(all.bench.mia.direct(), '', { files: [picture('leak.jpg', 'image/jpeg')] });
    await all.bench.settle();
    expect(all.words).toMatchObject([{ text: '', readable: true, files: ['leak.jpg image/jpeg drip'] }]);
  });
});

describe('what has no words', () => {
  test('a voice note is known as one', async () => {
    const all = await listening();
    told(all.bench, all.bench.mia.direct(), { content: '', flags: 1 << 13 });
    await all.bench.settle();
    expect(all.words).toMatchObject([{ text: '', voice: true, readable: true }]);
  });

  test('a sticker is a message without words', async () => {
    const all = await listening();
    told(all.bench, all.bench.mia.direct(), { content: '', sticker_items: [{ id: '9', name: 'cup', format_type: 1 }] });
    await all.bench.settle();
    expect(all.words).toMatchObject([{ text: '', voice: false, readable: true, files: [] }]);
  });
});

describe('marks', () => {
  test.each([['✅', true], ['☑️', true], ['✔️', true], ['👍', true], ['👍🏽', true], ['👎', false], ['🔥', false], ['1️⃣', false]])('%s counts as a tick: %s', (emoji, counts) => {
    expect(isTick(emoji)).toBe(counts);
  });

  test('given and taken away on a list, with who it was and their roles', async () => {
    const all = await listening();
    all.bench.mia.react(list(all), '✅');
    await all.bench.settle();
    all.bench.mia.unreact(all.bench.double.now(list(all)), '✅');
    await all.bench.settle();
    expect(all.marks).toEqual(['Mia 1 gives list', 'Mia 1 takes list']);
  });

  test('on other people’s messages, and other marks, mean nothing', async () => {
    const all = await listening(everything);
    const { message: words } = all.bench.ola.say(all.bench.bar, 'quiet good night');
    all.bench.mia.react(words, '✅');
    all.bench.mia.react(list(all), '🔥');
    await all.bench.settle();
    expect(all.marks).toEqual([]);
  });

  test('on a list the bot sent before it was started anew, in a channel and directly', async () => {
    const all = await listening();
    const { store, clock, mia, double } = all.bench;
    await transact(store, [], (tx) => post(tx, createIds(), clock.now(), { key: 'visit', place: direct(personId(mia.id)), kind: SAID, data: said(message(['A visit tomorrow.'])), priority: 'visit' }));
    await all.bench.settle();
    const bench = await all.bench.again();
    const [visit] = mia.screen(mia.direct());
    mia.react(double.now(list(all)), '✅');
    if (visit) mia.react(visit, '✅');
    await bench.settle();
    expect([...all.marks].sort()).toEqual(['Mia 0 gives visit', 'Mia 1 gives list']);
  });
});
