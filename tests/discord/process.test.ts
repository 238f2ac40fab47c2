import Database from 'better-sqlite3';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readConfig } from '../../src/assemble.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import { planDuties } from '../../src/routine/duties.ts';
import { createIds } from '../../src/store/id.ts';
import { openStore } from '../../src/store/open.ts';
import { read, transact } from '../../src/store/transact.ts';
import { instant } from '../../src/time/instant.ts';
import { build } from '../process/build.ts';
import { newFolder, start, type Started } from '../process/run.ts';
import { openDouble, type Double, type DoubleOptions } from '../platform/double/double.ts';
import type { Entry } from '../platform/double/journal.ts';

beforeAll(build);
const doubles: Double[] = [];
const running: Started[] = [];
afterAll(async () => {
  for (const { child, ended } of running.splice(0)) {
    child.kill('SIGKILL');
    await ended;
  }
  for (const double of doubles.splice(0)) await double.close();
});

const real = { now: () => Date.now() };
const platform = async (options: DoubleOptions = {}): Promise<Double> => {
  const double = await openDouble({ clock: real, ...options });
  double.place('Café Lantern Street', 'Ola');
  doubles.push(double);
  return double;
};
const program = (double: Double, more: Readonly<Record<string, string>> = {}): Started => {
  const started = start({ DATA_DIR: newFolder(), DISCORD_TOKEN: double.token, DISCORD_API_URL: double.api, ...more });
  running.push(started);
  return started;
};
const connected = (double: Double, mark = 0) => double.journal.until(mark, 'the bot to log in', (entry): entry is Extract<Entry, { kind: 'bot connected' }> => entry.kind === 'bot connected');

describe.concurrent('the bot as a program', () => {
  test('logs in, by a practice clock too, prints the invitation and nothing else, and ends with 0 when asked to', async () => {
    const double = await platform();
    const { child, ended } = program(double, { REHEARSAL_CLOCK: '2027-03-09T20:58:30Z/600' });
    await connected(double);
    child.kill('SIGTERM');
    const { code, out, err } = await ended;
    expect([code, err]).toEqual([0, '']);
    expect(out).toBe(`Add the bot to a server with: https://discord.com/oauth2/authorize?client_id=${double.world.bot.applicationId}&scope=bot+applications.commands&permissions=309237763136&integration_type=0\n`);
    expect([double.gateway.sessions.size, double.problems()]).toEqual([0, []]);
  });

  test('a wrong token: one sentence, 78', async () => {
    const double = await platform();
    const { code, err, out } = await program(double, { DISCORD_TOKEN: 'wrong.token' }).ended;
    expect([code, out, err]).toEqual([78, '', 'The platform refuses the token. Make a new one (the developer portal, your application, Bot, Reset Token), put it into DISCORD_TOKEN and start again. Nothing was lost.\n']);
  });

  test('an unreachable platform is waited for, and a signal ends the wait with 0', async () => {
    const double = await platform();
    double.away();
    const { child, ended } = program(double, { LOG_LEVEL: 'warn' });
    await new Promise<void>((resolve) => child.stderr.on('data', (piece: string) => piece.includes('cannot be reached yet') && resolve()));
    child.kill('SIGINT');
    expect((await ended).code).toBe(0);
  });

  test('started again and again it burns no logins: the second waits its five seconds; a session that cannot come back ends it with 75', async () => {
    const double = await platform();
    const folder = newFolder();
    const first = program(double, { DATA_DIR: folder });
    await connected(double);
    first.child.kill('SIGKILL');
    await first.ended;
    const mark = double.journal.mark();
    const second = program(double, { DATA_DIR: folder });
    await connected(double, mark);
    double.gateway.drop(4014);
    const { code, err } = await second.ended;
    expect([code, err.includes('The platform no longer allows what was asked for at login.')]).toEqual([75, true]);
    const db = new Database(join(folder, 'grouphand.sqlite'), { readonly: true });
    const { value } = db.prepare("select value from note where key = 'discord.logins'").get() as { value: string };
    db.close();
    const [one = 0, two = 0] = value.split(' ').map(Number);
    expect(two - one).toBeGreaterThanOrEqual(5500);
  });

  test('killed between sending and knowing that it was sent: started again, the list stands once', async () => {
    const double = await openDouble({ clock: real });
    doubles.push(double);
    const place = double.place('Café Lantern Street', 'Ola');
    const bar = place.channel('bar');
    const folder = newFolder();
    const store = await openStore({ folder });
    const at = instant(Date.parse('2027-03-09T20:58:30Z'));
    const config = readConfig('config');
    await transact(store, [], (tx) => seedDemo(tx, createIds(), at, (inside, cafe, now) => planDuties(inside, createIds(), config.jobs, config.usual, cafe, now), { space: place.guild.id, channel: bar.id, barRole: place.role('bar').id, person: () => place.owner.id }));
    await store.close();
    const held = double.plant('create_message', { kind: 'hold answer' });
    const first = program(double, { DATA_DIR: folder, REHEARSAL_CLOCK: '2027-03-09T21:00:00Z/1' });
    await held.met();
    await double.written(bar, 0);
    first.child.kill('SIGKILL');
    await first.ended;
    const mark = double.journal.mark();
    const second = program(double, { DATA_DIR: folder, REHEARSAL_CLOCK: '2027-03-09T21:00:20Z/1' });
    await double.journal.until(mark, 'the list to be sent again', (entry): entry is Extract<Entry, { kind: 'answered' }> => entry.kind === 'answered' && entry.route === 'create_message' && entry.status === 200);
    second.child.kill('SIGTERM');
    expect((await second.ended).code).toBe(0);
    expect(place.messages(bar).map(({ content }) => content.split('\n')[0])).toEqual(['**Closing, groups 1 and 2:**']);
    const again = await openStore({ folder });
    const [row] = await read(again, (tx) => tx.selectFrom('outbox').select(['state', 'message_id']).where('kind', '=', 'reminder').execute());
    await again.close();
    expect(row).toEqual({ state: 'sent', message_id: place.messages(bar)[0]?.id });
  });
});
