import { afterEach, describe, expect, test } from 'vitest';
import { message } from '../../src/chat/message.ts';
import { channel } from '../../src/chat/who.ts';
import { createIds } from '../../src/store/id.ts';
import { post, SAID, said } from '../../src/store/post.ts';
import { read, transact } from '../../src/store/transact.ts';
import { embedded } from '../store/databases.ts';
import { discordStage } from '../stories/discord-stage.ts';
import { wordsOf } from '../platform/double/seen.ts';
import { closeBenches, openBench, storeCafe, type Bench } from './bench.ts';

afterEach(closeBenches);

type Given = { readonly name: string; readonly given: Readonly<Record<string, string>>; readonly on: string | undefined; readonly by: string; readonly manages: boolean; readonly roles: number; readonly locale: string; readonly cafes: number };

const noting = async (): Promise<{ readonly bench: Bench; readonly given: Given[] }> => {
  const given: Given[] = [];
  const names = ['cafe', 'today', 'done', 'problem', 'danger', 'look', 'card', 'visits', 'record', 'verdicts', 'mydata', 'help', 'mark-done'];
  const bench = await openBench({
    subject: () => ({
      commands: names.map((name) => ({
        name,
        take: async (command) => {
          given.push({ name, given: command.given, on: command.on?.key, by: command.by.name, manages: command.by.manages, roles: command.by.roles.length, locale: command.locale, cafes: command.cafes.length });
          return { kind: 'private', message: message([`${name}.`]) };
        },
      })),
    }),
  });
  await storeCafe(bench);
  return { bench, given };
};

describe('commands as people give them', () => {
  test('each is answered to the giver alone, with who gave it and where', async () => {
    const { bench, given } = await noting();
    for (const name of ['cafe', 'today', 'done', 'problem', 'danger', 'look', 'card', 'visits', 'record', 'verdicts', 'mydata', 'help']) {
      const asked = bench.ola.command(bench.bar, name);
      expect(await asked.acknowledged()).toBe('later reply');
      expect([wordsOf(await asked.privately()), (await asked.privately()).onlyFor]).toEqual([`${name}.`, bench.ola.id]);
    }
    expect(new Set(given.map(({ by, manages, cafes }) => `${by} ${manages} ${cafes}`))).toEqual(new Set(['Ola true 1']));
    expect(bench.double.problems()).toEqual([]);
  });

  test('in direct messages the answer stands there openly, and carries no roles', async () => {
    const { bench, given } = await noting();
    const asked = bench.mia.command(bench.mia.direct(), 'today');
    expect([wordsOf(await asked.answer()), (await asked.answer()).onlyFor]).toEqual(['today.', undefined]);
    expect(given).toMatchObject([{ by: 'Mia', roles: 0, manages: false }]);
    expect(() => bench.mia.command(bench.mia.direct(), 'cafe')).toThrow('hidden');
  });

  test('what is typed behind one arrives under the name the bot knows it by', async () => {
    const { bench, given } = await noting();
    await bench.mia.command(bench.bar, 'problem', { what: 'the left group drips' }).acknowledged();
    await bench.mia.command(bench.bar, 'done', { job: '3' }).acknowledged();
    await bench.mia.command(bench.bar, 'done', { job: 'job:abc123' }).acknowledged();
    await bench.mia.command(bench.bar, 'card', { job: 'seal' }).acknowledged();
    await bench.settle();
    expect(given.map(({ given: each }) => each)).toEqual([{ text: 'the left group drips' }, { text: '3' }, { job: 'abc123' }, { text: 'seal' }]);
  });

  test('"Mark done" on a list says which list, on a foreign message that it is none', async () => {
    const { bench, given } = await noting();
    await transact(bench.store, [], (tx) => post(tx, createIds(), bench.clock.now(), { key: 'list', place: channel(bench.bar.id), kind: SAID, data: said(message(['Closing:'])), priority: 'reminder' }));
    await bench.settle();
    const [list] = bench.shown();
    if (!list) throw new Error('no list');
    await bench.mia.messageCommand('Mark done', list).acknowledged();
    await bench.mia.messageCommand('Mark done', bench.ola.say(bench.bar, 'good night').message).acknowledged();
    await bench.settle();
    expect(given.map(({ name, on }) => [name, on])).toEqual([['mark-done', 'list'], ['mark-done', undefined]]);
  });

  test('in a server without a café there is an answer too', async () => {
    const { bench, given } = await noting();
    const other = bench.double.place('Elsewhere', 'Jo');
    const asked = other.owner.command(other.channel('general'), 'today');
    expect(wordsOf(await asked.privately())).toBe('today.');
    expect(given).toMatchObject([{ by: 'Jo', cafes: 0 }]);
  });

  test('one person with cafés in two servers: each channel means its own', async () => {
    const { bench, given } = await noting();
    const other = bench.double.place('Second Street', 'Jo');
    const bar = other.channel('bar');
    other.join(bench.ola);
    await storeCafe({ ...bench, place: other, bar }, 'cafe2');
    await bench.ola.command(bar, 'today').privately();
    await bench.ola.command(bench.ola.direct(), 'today').answer();
    expect(given.map(({ cafes }) => cafes)).toEqual([1, 2]);
  });

  test('a command registered once and known no more gets one sentence', async () => {
    const bench = await openBench({ subject: () => ({}) });
    expect(wordsOf(await bench.mia.command(bench.bar, 'verdicts').privately())).toBe('I do not know that command. Write /help for what I can do.');
  });
});

describe('a job half typed', () => {
  test('the open jobs of the café are offered, those with the letters typed; what is done is not', async () => {
    const store = await embedded.open();
    const stage = await discordStage({ store });
    await stage.until('22:00');
    const sam = stage.who('sam');
    const offered = async (typed: string) => (await sam.autocomplete(stage.bar, 'done', { job: typed }, 'job').choices()).map(({ name }) => name);
    expect(await offered('')).toEqual(['22:00 1 backflush', '22:00 2 seals and rims', '22:00 3 soak', '22:00 4 wands, tray, drain']);
    expect(await offered('SOAK')).toEqual(['22:00 3 soak']);
    expect(await offered('polish')).toEqual([]);
    await stage.person('sam').replies('Closing', '1 and 2 done');
    expect(await offered('')).toEqual(['22:00 3 soak', '22:00 4 wands, tray, drain']);
    const [choice] = await sam.autocomplete(stage.bar, 'done', { job: '' }, 'job').choices();
    const [open] = await read(store, (tx) => tx.selectFrom('occurrence').select('id').where('state', '=', 'due').orderBy('position').execute());
    expect(choice?.value).toBe(`job:${open?.id}`);
    await stage.close();
  });

  test('nobody is offered jobs of a café they may not answer for', async () => {
    const stage = await discordStage({ store: await embedded.open() });
    await stage.until('22:00');
    expect(await stage.who('ana').autocomplete(stage.bar, 'done', { job: '' }, 'job').choices()).toEqual([]);
    await stage.close();
  });
});
