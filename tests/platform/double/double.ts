import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { handClock, type Clock } from './clock.ts';
import { newFaults, type Faults } from './faults.ts';
import { openGateway, type Gateway } from './gateway.ts';
import { serve, type Asked as Request, type Desk } from './http.ts';
import type { Inside, Problem } from './inside.ts';
import { newInteractions } from './interactions.ts';
import { newJournal, type Entry, type Journal } from './journal.ts';
import { newPacer, type Pace } from './pace.ts';
import type { Person } from './person.ts';
import { newPerson, newPlace, type Place } from './places.ts';
import { allRoutes, type RouteName } from './route-table.ts';
import { matcher } from './routes.ts';
import { messageById, newWorld, type Bot, type Message, type World } from './world.ts';

export type DoubleOptions = {
  /** Privileged intents switched on for the application; none by default. */
  readonly granted?: Partial<Bot['granted']>;
  /** The clock of the platform; by default one that only `advance` moves, from `start`. */
  readonly clock?: Clock;
  readonly start?: number;
  readonly token?: string;
  /** Requests per route and channel; off by default. */
  readonly pacePerRoute?: Pace;
  /** Requests of the bot as a whole; the platform's documented 50 a second by default. */
  readonly paceOfBot?: Pace;
  readonly beatMs?: number;
  /** Holds the double's own answers against the published description; see `doubts`. Costs a fifth of a second. */
  readonly checkOwn?: boolean;
};
export type Double = {
  readonly world: World;
  readonly journal: Journal;
  readonly gateway: Gateway;
  readonly faults: Faults;
  readonly plant: Faults['plant'];
  readonly requests: readonly Request[];
  /** Where the client finds the platform: `new Client({ rest: { api } })`. */
  readonly api: string;
  readonly token: string;
  readonly place: (name: string, owner: string) => Place;
  /** Somebody who is in no guild yet. */
  readonly person: (name: string, locale?: string) => Person;
  /** Moves the double's own clock and lets what is overdue fail. */
  readonly advance: (ms: number) => void;
  /** Lets what is overdue fail, with a clock that others move. */
  readonly lapse: () => void;
  /** Everything the bot did that the platform would not take; empty for a good bot. */
  readonly problems: () => readonly Problem[];
  /** Where the double itself strays from the published description; empty for a good double. */
  readonly doubts: () => readonly string[];
  /** The message as it is now. */
  readonly now: (message: Message) => Message;
  readonly sent: (route: RouteName) => readonly Request[];
  /** 401, 403 and 429 answers: 10,000 of them in ten minutes shut a bot out. */
  readonly invalidRequests: () => number;
  /** The first message of the bot in that place since `mark` on which `fits` takes; waits for it. */
  readonly written: (where: { readonly id: string }, mark: number, fits?: (message: Message) => boolean) => Promise<Message>;
  /** That message after its first change since `mark` on which `fits` takes; waits for it. */
  readonly changed: (message: Message, mark: number, fits?: (message: Message) => boolean) => Promise<Message>;
  /** Connections are refused, requests too, until `back`. */
  readonly away: () => void;
  readonly back: () => void;
  readonly revokeToken: () => void;
  readonly close: () => Promise<void>;
};
const TEN_TO_SIX = Date.UTC(2026, 10, 27, 5, 50);

/** The platform on a free port of the loopback interface. */
export async function openDouble(options: DoubleOptions = {}): Promise<Double> {
  const own = options.clock ? undefined : handClock(options.start ?? TEN_TO_SIX);
  const clock = options.clock ?? own ?? handClock(0);
  const token = options.token ?? 'a.loopback.token';
  const world = newWorld(clock, token, options.granted ?? {});
  const journal = newJournal();
  const server = createServer();
  // On a busy machine a connection may rest for seconds: closed just as it is used again, it would lose a request no story means to lose.
  server.keepAliveTimeout = 120_000;
  const gateway = openGateway(server, world, journal, options.beatMs ?? 41_250);
  const interactions = newInteractions();
  const inside: Inside = { world, journal, gateway, interactions, problems: [], doubts: [] };
  const faults = newFaults();
  const pacer = newPacer(options.pacePerRoute, options.paceOfBot ?? { most: 50, perMs: 1000 }, () => performance.now());
  const expire = (): void => {
    for (const { id, kind } of interactions.expire(clock.now())) {
      inside.problems.push({ kind: 'interaction failed', detail: `a ${kind} got no first answer within 3 s` });
      journal.note({ kind: 'interaction failed', interactionId: id });
    }
  };
  const desk: Desk = { inside, faults, pacer, match: matcher(allRoutes), requests: [], expire, checkOwn: options.checkOwn ?? false };
  server.on('request', (req, res) => {
    serve(desk, req, res).catch((error: unknown) => {
      inside.problems.push({ kind: 'double broke', detail: error instanceof Error ? (error.stack ?? error.message) : String(error) });
      res.destroy();
    });
  });
  await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
  world.origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  return {
    world, journal, gateway, faults, plant: faults.plant, requests: desk.requests, api: `${world.origin}/api`, token,
    place: (name, owner) => newPlace(inside, name, owner),
    person: (name, locale) => newPerson(inside, name, locale),
    advance: (ms) => {
      if (!own) throw new Error('the clock was handed in: move that one, then lapse()');
      own.advance(ms);
      expire();
    },
    lapse: expire,
    problems: () => inside.problems,
    doubts: () => inside.doubts,
    now: (message) => messageById(world, message.channelId, message.id) ?? fail(message),
    sent: (route) => desk.requests.filter((request) => request.route === route),
    invalidRequests: () => desk.requests.filter(({ status }) => status === 401 || status === 403 || status === 429).length,
    written: async (where, mark, fits = () => true) => {
      const ours = (entry: Entry): entry is Entry & { kind: 'message created' } =>
        entry.kind === 'message created' && entry.message.channelId === where.id && entry.message.authorId === world.bot.userId && fits(entry.message);
      return (await journal.until(mark, 'a message of the bot', ours)).message;
    },
    changed: async ({ id }, mark, fits = () => true) => {
      const that = (entry: Entry): entry is Entry & { kind: 'message edited' } => entry.kind === 'message edited' && entry.message.id === id && fits(entry.message);
      return (await journal.until(mark, 'a change of the message', that)).message;
    },
    away: gateway.away,
    back: gateway.back,
    revokeToken: () => {
      world.bot.token = `${token} no more`;
      gateway.drop(4004);
    },
    close: async () => {
      faults.releaseAll();
      await gateway.close();
      server.closeAllConnections();
      await new Promise((closed) => server.close(closed));
    },
  };
}

const fail = (message: Message): never => {
  throw new Error(`the message ${message.id} is gone`);
};
