import { afterEach, describe, expect, test } from 'vitest';
import { message } from '../../src/chat/message.ts';
import { channel, direct, personId } from '../../src/chat/who.ts';
import { ENDINGS, endingOfClose } from '../../src/discord/endings.ts';
import { createLogins, loginPause } from '../../src/discord/logins.ts';
import { createPace } from '../../src/discord/pace.ts';
import { createPulse, LONGEST_ABSENCE, LONGEST_SILENCE } from '../../src/discord/watch.ts';
import { createIds } from '../../src/store/id.ts';
import { openStore } from '../../src/store/open.ts';
import { post, redraw, SAID, said } from '../../src/store/post.ts';
import { read, transact } from '../../src/store/transact.ts';
import { later } from '../../src/time/instant.ts';
import type { Entry } from '../platform/double/journal.ts';
import type { Double } from '../platform/double/double.ts';
import { wordsOf } from '../platform/double/seen.ts';
import { closeBenches, openBench, storeCafe, type Bench, type BenchOptions } from './bench.ts';

afterEach(closeBenches);

type Of<K extends Entry['kind']> = Extract<Entry, { kind: K }>;
const happened = <K extends Entry['kind']>(double: Double, mark: number, kind: K): Promise<Of<K>> => double.journal.until(mark, kind, (entry): entry is Of<K> => entry.kind === kind);

/** A bot that answers every word to it, and marks on its lists. */
const answering = async (options: BenchOptions = {}): Promise<{ readonly bench: Bench; readonly heard: string[] }> => {
  const heard: string[] = [];
  const bench = await openBench({
    ...options,
    subject: () => ({
      words: [{ name: 'hear', order: 90, take: async ({ text, by }) => (heard.push(`${by.name}: ${text}`), { kind: 'noted' }) }],
      tickMarks: [{ kind: SAID, take: async ({ by }) => void heard.push(`${by.name} ticks`) }],
    }),
  });
  if (options.wait !== false) await storeCafe(bench);
  return { bench, heard };
};
const send = async (bench: Bench, key = 'list', place = channel(bench.bar.id)): Promise<void> => {
  await transact(bench.store, [], (tx) => post(tx, createIds(), bench.clock.now(), { key, cafe: 'cafe1', place, kind: SAID, data: said(message(['Closing:'])), priority: 'reminder' }));
  await bench.connection.bot.sender.drain();
};
/** As if a list were open in the bar. */
const openList = async (bench: Bench): Promise<void> => {
  await transact(bench.store, [], (tx) => tx.insertInto('reminder').values({ id: 'r1', cafe: 'cafe1', place: channel(bench.bar.id), due_at: bench.clock.now(), moment: 'at-closing', date: '2027-03-09', state: 'open', missed: 0, created_at: bench.clock.now() }).execute());
};
const toBot = (bench: Bench, words: string): string => `<@${bench.double.world.bot.userId}> ${words}`;

describe('at start', () => {
  test('a wrong token ends it with one clear sentence, and no login is spent', async () => {
    const { bench } = await answering({ token: 'another.loopback.token', wait: false });
    expect(await bench.connection.ended).toEqual(ENDINGS.token);
    expect([bench.double.gateway.identifies, ENDINGS.token.code, ENDINGS.token.text.includes('DISCORD_TOKEN')]).toEqual([[], 78, true]);
  });

  test('while the platform cannot be reached it waits and tries again; what fell due meanwhile goes out once', async () => {
    const pauses: number[] = [];
    const { bench } = await answering({ set: (double) => double.away(), wait: false, tuning: { retryPause: (tries) => (pauses.push(tries), 15) } });
    await storeCafe(bench);
    await send(bench);
    while (pauses.length < 3) await new Promise((go) => setImmediate(go));
    bench.double.back();
    await bench.connection.ready;
    await bench.settle();
    expect([bench.shown().map(wordsOf), pauses.slice(0, 3), bench.double.gateway.identifies.length]).toEqual([['Closing:'], [0, 1, 2], 1]);
  });

  test('the pauses grow, to five minutes', async () => {
    const { usualTuning } = await import('../../src/discord/tuning.ts');
    const { retryPause } = usualTuning();
    for (const [tries, most] of [[0, 2000], [1, 4000], [4, 32_000], [20, 300_000]] as const) {
      expect(retryPause(tries)).toBeLessThanOrEqual(most);
      expect(retryPause(tries)).toBeGreaterThanOrEqual(most * 0.75);
    }
  });

  test('a right taken away between asking and login ends it, to be started anew without it', async () => {
    let double: Double | undefined;
    const { bench } = await answering({ wait: false, double: { granted: { messageContent: true } }, set: (one) => void (double = one), tuning: { throttler: async () => ({ waitForIdentify: async () => void (double && (double.world.bot.granted.messageContent = false)) }) } });
    expect(await bench.connection.ended).toEqual(ENDINGS.intents);
    expect(ENDINGS.intents.code).toBe(75);
  });
});

describe('while running', () => {
  test('a token taken back ends it, whoever notices first', async () => {
    const { bench } = await answering();
    bench.double.revokeToken();
    expect(await bench.connection.ended).toEqual(ENDINGS.token);
    const other = (await answering()).bench;
    other.double.world.bot.token = 'new one';
    await send(other);
    expect(await other.connection.ended).toEqual(ENDINGS.token);
    expect(bench.double.gateway.identifies).toHaveLength(1);
  });

  test.each([4004, 4010, 4011, 4012, 4013, 4014])('a session closed with %i does not come back: the process ends with a code that is not 0', async (code) => {
    const { bench } = await answering();
    bench.double.gateway.drop(code);
    const ending = await bench.connection.ended;
    expect(ending).toEqual(endingOfClose(code));
    expect([ending?.code === 0, bench.double.gateway.identifies.length]).toEqual([false, 1]);
  });

  test.each([1000, 1001, 4000, 4001, 4007, 4009])('a session closed with %i comes back by itself', async (code) => {
    const { bench, heard } = await answering();
    const mark = bench.double.journal.mark();
    bench.double.gateway.drop(code);
    await bench.double.journal.until(mark, 'the line to come back', (entry): entry is Of<'bot resumed'> => entry.kind === 'bot resumed' || (entry.kind as string) === 'bot connected');
    bench.mia.say(bench.bar, toBot(bench, 'done'));
    await bench.settle();
    expect(heard).toEqual(['Mia: done']);
  });

  test('a new session reads what was said and marked before it, once', async () => {
    const { bench, heard } = await answering();
    await openList(bench);
    await send(bench);
    bench.mia.say(bench.bar, toBot(bench, 'before'));
    await bench.settle();
    const mark = bench.double.journal.mark();
    bench.double.gateway.invalidate();
    bench.mia.say(bench.bar, toBot(bench, 'between'));
    bench.mia.react(bench.shown()[0] ?? (() => { throw new Error('no list'); })(), '✅');
    await happened(bench.double, mark, 'bot connected');
    bench.mia.say(bench.bar, toBot(bench, 'after'));
    await bench.settle();
    expect([...heard].sort()).toEqual(['Mia ticks', 'Mia: after', 'Mia: before', 'Mia: between']);
  });

  test('a connection that hears nothing for minutes ends it, to be started anew', async () => {
    const { bench } = await answering({ tuning: { watchEvery: 5, silence: 40 } });
    expect(await bench.connection.ended).toEqual(ENDINGS.deaf);
  });
});

describe('started anew', () => {
  const quietly = async (act: (bench: Bench) => unknown): Promise<{ readonly bench: Bench; readonly heard: string[] }> => {
    const { bench, heard } = await answering();
    await openList(bench);
    await send(bench);
    await send(bench, 'visit', direct(personId(bench.ola.id)));
    await bench.settle();
    await bench.connection.close();
    await act(bench);
    const next = await bench.again();
    await next.settle();
    return { bench: next, heard };
  };

  test('words said in the bar and directly while nobody listened are taken, once, in their order', async () => {
    const { bench, heard } = await quietly(({ mia, ola, bar, double }) => {
      mia.say(bar, `<@${double.world.bot.userId}> one`);
      mia.say(bar, `<@${double.world.bot.userId}> two`);
      ola.say(ola.direct(), 'three');
      mia.say(bar, 'chatter');
    });
    expect(heard).toEqual(['Mia: one', 'Mia: two', 'Ola: three']);
    await (await bench.again()).settle();
    expect(heard).toHaveLength(3);
  });

  test('marks made while nobody listened are taken once; one that was taken before is not taken again', async () => {
    const { bench, heard } = await quietly((each) => {
      each.mia.react(each.shown()[0] ?? (() => { throw new Error('no list'); })(), '✅');
      const [visit] = each.ola.screen(each.ola.direct());
      if (visit) each.ola.react(visit, '👍');
    });
    expect([...heard].sort()).toEqual(['Mia ticks', 'Ola ticks']);
    await (await bench.again()).settle();
    expect(heard).toHaveLength(2);
  });

  test('somebody who spoke and left is nobody we know any more', async () => {
    const { bench, heard } = await quietly(({ mia, place, bar, double }) => {
      mia.say(bar, `<@${double.world.bot.userId}> bye`);
      place.leave(mia);
    });
    expect([heard, bench.logged.filter(({ level }) => level >= 50)]).toEqual([[], []]);
  });

  test('more words in the meantime than one page holds: all read', async () => {
    const { heard } = await quietly(({ place, bar, double, role }) => {
      const people = [1, 2, 3, 4, 5].map((n) => place.person(`P${n}`, [role]));
      for (let n = 0; n < 125; n++) people[n % 5]?.say(bar, `<@${double.world.bot.userId}> ${n}`);
    });
    expect(heard).toHaveLength(125);
  });

  test('a list that was answered but not redrawn when the bot ended shows what is stored, seconds after the start', async () => {
    const { bench } = await quietly(({ store, clock }) =>
      transact(store, ['cafe1'], async (tx) => {
        await tx.updateTable('outbox').set({ data: JSON.stringify(said(message(['Done, 22:31.']))) }).where('key', '=', 'list').execute();
        await redraw(tx, 'list', clock.now(), true);
      }),
    );
    bench.clock.moveTo(later(bench.clock.now(), 5000));
    await bench.settle();
    expect(bench.shown().map(wordsOf)).toEqual(['Done, 22:31.']);
  });

  test('a channel that cannot be read any more keeps nothing else from being read', async () => {
    const { bench, heard } = await quietly(({ place, bar, ola }) => {
      ola.say(ola.direct(), 'still here');
      place.removeChannel(bar);
    });
    expect([heard, bench.logged.filter(({ level }) => level >= 50)]).toEqual([['Ola: still here'], []]);
  });
});

describe('stopping', () => {
  test('waits for what is under way, sends nothing more, and gives the session up', async () => {
    const { bench } = await answering();
    const held = bench.double.plant('create_message', { kind: 'hold answer' });
    await transact(bench.store, [], (tx) => post(tx, createIds(), bench.clock.now(), { key: 'a', place: channel(bench.bar.id), kind: SAID, data: said(message(['Closing:'])), priority: 'reminder' }));
    bench.connection.bot.sender.wake();
    await held.met();
    const closed = bench.connection.close();
    held.release();
    await closed;
    const row = await read(bench.store, (tx) => tx.selectFrom('outbox').select(['state']).executeTakeFirstOrThrow());
    expect([row.state, bench.double.gateway.sessions.size, bench.shown().length]).toEqual(['sent', 0, 1]);
  });

  test('a request nobody answers is cut off, and the message is sent by the next start', async () => {
    const { bench } = await answering({ tuning: { longestStep: 50 } });
    const silent = bench.double.plant('create_message', { kind: 'silence' });
    await transact(bench.store, [], (tx) => post(tx, createIds(), bench.clock.now(), { key: 'a', place: channel(bench.bar.id), kind: SAID, data: said(message(['Closing:'])), priority: 'reminder' }));
    bench.connection.bot.sender.wake();
    await silent.met();
    const next = await bench.again();
    next.clock.moveTo(later(next.clock.now(), 60_000));
    await next.settle();
    expect(bench.shown().map(wordsOf)).toEqual(['Closing:']);
  });

  test('in the middle of logging in it ends all the same', async () => {
    const { bench } = await answering({ wait: false, tuning: { throttler: async () => ({ waitForIdentify: () => new Promise<void>(() => undefined) }), longestStep: 50 } });
    while (bench.told.length === 0) await new Promise((go) => setImmediate(go));
    await bench.connection.close();
    expect(bench.double.gateway.identifies).toEqual([]);
  });

  test('while the platform is away it ends at once', async () => {
    const { bench } = await answering({ wait: false, set: (double) => double.away(), tuning: { retryPause: () => 60_000 } });
    await bench.connection.close();
    expect(await bench.connection.ended).toBeUndefined();
  });
});

describe('servers', () => {
  const stateOf = (bench: Bench, id = 'cafe1'): Promise<{ state: string; removed_at: number | null } | undefined> => read(bench.store, (tx) => tx.selectFrom('cafe').select(['state', 'removed_at']).where('id', '=', id).executeTakeFirst());

  test('taken out of a server its cafés end, their data stays; let in again they go on', async () => {
    const { bench } = await answering();
    bench.place.kickBot();
    await bench.settle();
    expect(await stateOf(bench)).toEqual({ state: 'gone', removed_at: bench.clock.now() });
    expect(await read(bench.store, (tx) => tx.selectFrom('member').select('name').execute())).toEqual([{ name: 'Ola' }]);
    bench.place.invite();
    await bench.settle();
    expect(await stateOf(bench)).toEqual({ state: 'live', removed_at: null });
  });

  test('an outage of the server changes nothing', async () => {
    const { bench } = await answering();
    bench.place.outage();
    await bench.settle();
    bench.place.restore();
    await bench.settle();
    expect((await stateOf(bench))?.state).toBe('live');
  });

  test('removed while it was not running: noticed at the next start', async () => {
    const { bench } = await answering();
    await bench.connection.close();
    bench.double.world.guilds.delete(bench.place.guild.id);
    await (await bench.again()).settle();
    expect((await stateOf(bench))?.state).toBe('gone');
  });

  test('a café its owner removed does not come back with the bot', async () => {
    const { bench } = await answering();
    await transact(bench.store, ['cafe1'], (tx) => tx.updateTable('cafe').set({ state: 'gone', removed_at: 1 }).where('id', '=', 'cafe1').execute());
    bench.place.kickBot();
    bench.place.invite();
    await bench.settle();
    expect(await stateOf(bench)).toEqual({ state: 'gone', removed_at: 1 });
  });

  test('a role nobody may call: its owner is told once, with the cure', async () => {
    const { bench } = await answering();
    bench.role.mentionable = false;
    await (await (await bench.again()).again()).settle();
    expect(bench.ola.screen(bench.ola.direct()).map(wordsOf)).toEqual(['Lantern Street: when I call bar, no phone rings.\nServer settings, Roles, bar:\nallow anyone to mention this role.']);
  });
});

describe('pace and patience', () => {
  test('the pace lets at most forty begin in any second, in their order', async () => {
    let now = 0;
    const pace = createPace({ elapsed: () => now, wait: async (ms) => void (now += ms) });
    const begun: number[] = [];
    await Promise.all(Array.from({ length: 200 }, () => pace().then(() => begun.push(now))));
    for (const [i, at] of begun.entries()) expect(begun.filter((other) => other > at - 1000 && other <= at).length, `at ${i}`).toBeLessThanOrEqual(40);
    expect(begun.at(-1)).toBe(4000);
  });

  test('logins: five in ten minutes, more than five seconds apart, then ten minutes must pass; never above the platform’s thousand a day', () => {
    const logins: number[] = [];
    let now = 0;
    while (now < 86_400_000) {
      now += loginPause(logins, now);
      logins.push(now);
    }
    expect(logins.slice(0, 6)).toEqual([0, 5500, 11_000, 16_500, 22_000, 600_000]);
    expect(logins.length).toBeLessThanOrEqual(725);
  });

  test('logins are remembered over restarts, so that a process that keeps dying does not burn them', async () => {
    const store = await openStore({});
    const waited: number[] = [];
    let now = 1_000_000;
    for (let process = 0; process < 7; process++) {
      const logins = createLogins({ store, now: () => now, wait: async (ms) => void (waited.push(ms), (now += ms)) });
      await logins(new AbortController().signal);
      now += 1000;
    }
    await store.close();
    expect(waited).toEqual([4500, 4500, 4500, 4500, 577_000, 4500]);
  });

  test('deaf means no beat for three minutes, or no session for five', () => {
    let now = 0;
    const pulse = createPulse(() => now);
    const deafAt = (at: number, lastBeat: number): boolean => ((now = at), pulse.isDeaf(lastBeat));
    expect([deafAt(LONGEST_ABSENCE, 0), deafAt(LONGEST_ABSENCE + 1, 0)]).toEqual([false, true]);
    now = 1_000_000;
    pulse.found();
    expect([deafAt(1_000_000 + LONGEST_SILENCE, -1), deafAt(1_000_001 + LONGEST_SILENCE, -1), deafAt(1_000_001 + LONGEST_SILENCE, 1_000_500)]).toEqual([false, true, false]);
    now = 2_000_000;
    pulse.lost();
    now = 2_000_000 + LONGEST_ABSENCE;
    pulse.lost();
    expect([deafAt(2_000_000 + LONGEST_ABSENCE, 0), deafAt(2_000_001 + LONGEST_ABSENCE, 0)]).toEqual([false, true]);
  });
});
