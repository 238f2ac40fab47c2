import { pino } from 'pino';
import { assemble, readConfig, type Bot, type Parts } from '../../src/assemble.ts';
import type { Subject } from '../../src/cafe/subject.ts';
import { channel } from '../../src/chat/who.ts';
import { releaseStale } from '../../src/delivery/outbox.ts';
import { createReach } from '../../src/delivery/reach.ts';
import { createSender } from '../../src/delivery/sender.ts';
import { createTick } from '../../src/delivery/tick.ts';
import { readCommands } from '../../src/discord/commands.ts';
import { connect, type Connection } from '../../src/discord/connect.ts';
import type { Tuning } from '../../src/discord/tuning.ts';
import { createNotices } from '../../src/notices.ts';
import { createRouter } from '../../src/router.ts';
import { createIds } from '../../src/store/id.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import { transact } from '../../src/store/transact.ts';
import { rehearsalClock, type RehearsalClock } from '../../src/time/clock.ts';
import { instant } from '../../src/time/instant.ts';
import { openDouble, type Double, type DoubleOptions } from '../platform/double/double.ts';
import type { Person } from '../platform/double/person.ts';
import type { Place } from '../platform/double/places.ts';
import type { Channel, Message, Role } from '../platform/double/world.ts';

export const config = readConfig('config');
export const commands = readCommands('config/commands.yaml');
/** The platform leaves five seconds between two logins; a test need not. */
export const hasty = async () => ({ waitForIdentify: async () => undefined });
const START = instant(Date.UTC(2027, 2, 9, 20, 58, 30));

/** A server with a café's channel, its role and people; no café stored yet. */
export type House = { readonly place: Place; readonly bar: Channel; readonly role: Role; readonly ola: Person; readonly mia: Person };

export type Bench = House & {
  readonly double: Double;
  readonly store: Store;
  readonly clock: RehearsalClock;
  readonly connection: Connection;
  readonly logged: readonly { readonly level: number; readonly msg: string }[];
  readonly told: readonly string[];
  /** Everything that came in has been taken, and what was to be sent was sent. */
  readonly settle: () => Promise<void>;
  /** The bot's messages in the bar, as they are now. */
  readonly shown: () => readonly Message[];
  readonly again: () => Promise<Bench>;
};

export type BenchOptions = {
  /** What the bot can do, in place of all it can do. */
  readonly subject?: (parts: Parts) => Subject;
  readonly double?: DoubleOptions;
  readonly tuning?: Partial<Tuning>;
  readonly set?: (double: Double, house: House) => void;
  readonly token?: string;
  /** False: the bot may not get to the platform, so it is not waited for. */
  readonly wait?: false;
  /** Opens the database; one in memory otherwise. */
  readonly store?: () => Promise<Store>;
};

const assembleOne = (make: (parts: Parts) => Subject) => (parts: Parts): Bot => {
  const { store, chat, clock, log, ids, config: { words }, pace } = parts;
  const subjects = [make(parts)];
  const reach = createReach({ store, words, ids, clock, log });
  const sender = createSender({ store, chat, clock, log, show: createNotices([...subjects, { notices: [reach.notice] }], clock), refused: reach.refused, arrived: reach.arrived, ...(pace ? { pace } : {}) });
  const router = createRouter({ store, words, ids, clock, log, subjects, wake: sender.wake });
  const tick = createTick({ store, log, timers: new Map(), fireDuties: async () => 0 });
  return { router, sender, tick, subjects, resume: () => releaseStale(store, clock.now(), true), onLive: async () => undefined };
};

const open: { double: Double; store: Store; connections: Connection[] }[] = [];

const furnish = (double: Double): House => {
  const place = double.place('Café Lantern Street', 'Ola');
  const role = place.role('bar', { mentionable: true });
  return { place, bar: place.channel('bar'), role, ola: place.owner, mia: place.person('Mia', [role]) };
};

/** The bot, logged in to a double of the platform of its own. */
export const openBench = async (options: BenchOptions = {}): Promise<Bench> => {
  const clock = rehearsalClock(START, 0);
  const double = await openDouble({ clock, ...options.double });
  const store = await (options.store ?? (() => openStore({})))();
  const house = furnish(double);
  options.set?.(double, house);
  const entry = { double, store, connections: [] as Connection[] };
  open.push(entry);
  const logged: { level: number; msg: string }[] = [];
  const told: string[] = [];
  const log = pino({ level: 'info' }, { write: (line: string) => void logged.push(JSON.parse(line) as { level: number; msg: string }) });

  const join = async (): Promise<Bench> => {
    const connection = await connect({
      token: options.token ?? double.token, api: double.api, store, config, commands, clock, log, ids: createIds(), assemble: options.subject ? assembleOne(options.subject) : assemble,
      told: (line) => void told.push(line), tuning: { throttler: hasty, ...options.tuning },
    });
    entry.connections.push(connection);
    if (options.wait !== false) await connection.ready;
    const settle = async (): Promise<void> => {
      for (let before = -1, happened = -2; before !== happened; happened = double.journal.entries.filter(({ kind }) => kind !== 'bot beat').length) {
        before = happened;
        await double.gateway.heard();
        await connection.idle();
        await connection.bot.sender.drain();
      }
    };
    const again = async (): Promise<Bench> => {
      await connection.close();
      return join();
    };
    return { ...house, double, store, clock, connection, logged, told, settle, again, shown: () => house.place.messages(house.bar).filter(({ authorId }) => authorId === double.world.bot.userId) };
  };
  return join();
};

/** For `afterEach`: every bot is closed, every double and database too. */
export const closeBenches = async (): Promise<void> => {
  for (const { double, store, connections } of open.splice(0)) {
    double.faults.releaseAll();
    double.back();
    for (const connection of connections) await connection.close();
    await double.close();
    await store.close();
  }
};

/** A café of the house, live, with Ola as its owner. */
export const storeCafe = async ({ store, place, bar, role, ola, clock }: Pick<Bench, 'store' | 'place' | 'bar' | 'role' | 'ola' | 'clock'>, id = 'cafe1'): Promise<string> => {
  await transact(store, [], async (tx) => {
    await tx
      .insertInto('cafe')
      .values({ id, name: 'Lantern Street', town: 'Valencia', zone: 'Europe/Madrid', language: 'en', state: 'live', exceptions: '[]', cleaning_before: 30, space: place.guild.id, place: channel(bar.id), bar_role: role.id, money: '{}', loud_danger: 1, learn_together: 0, rev: 1, created_at: clock.now() })
      .execute();
    await tx.insertInto('member').values({ id: `m.${id}`, cafe: id, person: ola.id, name: 'Ola', role: 'owner', language: 'en', direct_ok: 1, created_at: clock.now() }).execute();
  });
  return id;
};
