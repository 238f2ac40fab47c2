import { randomBytes } from 'node:crypto';
import { PermissionFlagsBits, Routes, Status, type APIApplication, type Client } from 'discord.js';
import type { Logger } from 'pino';
import type { assemble, Bot, Config } from '../assemble.ts';
import { nonceOf } from '../delivery/sender.ts';
import { markShown } from '../delivery/outbox.ts';
import type { Ids } from '../store/id.ts';
import type { Store } from '../store/store.ts';
import type { Clock } from '../time/clock.ts';
import { instant } from '../time/instant.ts';
import { createAnswering } from './answer.ts';
import { bounded, pauseUnless } from './bounded.ts';
import { catchUp } from './catch-up.ts';
import { createDiscordChat } from './chat.ts';
import { openJobsFor } from './choices.ts';
import { mayReadAll, newClient, type Application, type Throttler } from './client.ts';
import { commandBodies, commandNamed, registerCommands, type CommandPlan } from './commands.ts';
import { createCuttable } from './cut.ts';
import { endingOfClose, endingOfError, ENDINGS, type Ending } from './endings.ts';
import { guildBack, guildLeft, settleGuilds, type GuildNeeds } from './guilds.ts';
import { createInOrder } from './in-order.ts';
import { inviteLink } from './invite.ts';
import { createEars } from './listen.ts';
import { createLogins } from './logins.ts';
import { createPace } from './pace.ts';
import { createPresses } from './presses.ts';
import { createReadMarks } from './read-marks.ts';
import { createRests } from './rests.ts';
import { checkRoles } from './role-check.ts';
import { listenTo } from './session.ts';
import { isDeaf, LONGEST_ABSENCE, LONGEST_SILENCE } from './watch.ts';

/** Waits and bounds, all in ms. */
export type Tuning = {
  readonly formWait: number;
  /** Before the n-th further try (from 0) to reach the platform at start. */
  readonly retryPause: (tries: number) => number;
  readonly watchEvery: number;
  /** After so long without an answered beat, or without a session, the process is to be started anew. */
  readonly silence: number;
  readonly absence: number;
  readonly keepEvery: number;
  readonly checkEvery: number;
  /** Each of the four steps of stopping takes no longer than this. */
  readonly longestStep: number;
  readonly pace: () => Promise<void>;
  readonly throttler?: Throttler;
};

const growing = (tries: number): number => Math.min(300_000, 2000 * 2 ** Math.min(tries, 8)) * (0.75 + Math.random() / 4);
export const usualTuning = (): Tuning => ({ formWait: 1500, retryPause: growing, watchEvery: 30_000, silence: LONGEST_SILENCE, absence: LONGEST_ABSENCE, keepEvery: 20_000, checkEvery: 600_000, longestStep: 2000, pace: createPace() });

export type ConnectionNeeds = {
  readonly token: string;
  readonly api?: string | undefined;
  readonly store: Store;
  readonly config: Config;
  readonly commands: readonly CommandPlan[];
  readonly clock: Clock;
  readonly log: Logger;
  readonly ids: Ids;
  readonly assemble: typeof assemble;
  /** Takes a line for whoever runs the bot. */
  readonly told: (line: string) => void;
  readonly tuning?: Partial<Tuning>;
};

export type Connection = {
  readonly bot: Bot;
  /** Resolves when the bot listens and has read what was said before. */
  readonly ready: Promise<void>;
  /** Resolves when the bot cannot go on, with why; with nothing when it was closed. */
  readonly ended: Promise<Ending | undefined>;
  /** Resolves when nothing that came in is being worked on. */
  readonly idle: () => Promise<void>;
  readonly close: () => Promise<void>;
};

const openPromise = <T>(): { readonly promise: Promise<T>; readonly resolve: (value: T) => void } => {
  let resolve: (value: T) => void = () => undefined;
  const promise = new Promise<T>((done) => {
    resolve = done;
  });
  return { promise, resolve };
};

/** The bot on the platform. Does not wait for it: until it is reached the outbox fills and waits. */
export const connect = async (needs: ConnectionNeeds): Promise<Connection> => {
  const { token, api, store, config, clock, log, ids, told } = needs;
  const tuning: Tuning = { ...usualTuning(), ...needs.tuning };
  const { words } = config;
  const ready = openPromise<void>();
  const ended = openPromise<Ending | undefined>();
  const stopping = new AbortController();
  const cuttable = createCuttable();
  const order = createInOrder();
  const marks = createReadMarks(store);
  const rests = createRests({ api, token, log, onTokenRefused: () => end(ENDINGS.token) });

  let client: Client<true> | undefined;
  let application: Application | undefined;
  let attempt: { readonly client: Client; readonly login: Promise<unknown> } | undefined;
  let catching: Promise<void> | undefined;
  let readySince = 0;
  let lostSince = 0;
  let isReady = false;

  const end = (ending: Ending): void => {
    if (!stopping.signal.aborted) ended.resolve(ending);
  };

  const follow = (what: string, work: () => Promise<void>): void => {
    if (stopping.signal.aborted) return;
    order.track(work().catch((error: unknown) => log.error({ err: error }, `${what} could not be taken`)));
  };

  const undrawn = (name: string, error: unknown): void => log.error({ name, err: error }, 'a picture could not be drawn');
  const self = (): string => client?.user.id ?? '';
  const loggedIn = (): Client<true> => {
    if (!client) throw new Error('not connected');
    return client;
  };
  const readsHistory = (id: string): boolean | undefined => {
    const channel = client?.channels.cache.get(id);
    return channel && 'guild' in channel ? channel.permissionsFor(self())?.has([PermissionFlagsBits.ViewChannel, PermissionFlagsBits.ReadMessageHistory]) : undefined;
  };

  const chat = createDiscordChat({
    rest: rests.rest, cuttable, undrawn, clock, online: () => client !== undefined, self, readsHistory, inOrder: order.run,
    openDirect: async (person) => (await loggedIn().users.createDM(person)).id,
  });
  const bot = needs.assemble({ store, chat, clock, log, ids, config, pace: tuning.pace });
  const answering = createAnswering({
    answers: rests.answers, log, undrawn, edit: chat.edit, inOrder: order.run, tail: () => randomBytes(4).toString('base64url'),
    shown: (key, version) => markShown(store, key, version),
    say: async (ask, message, notify) => void (await chat.send(ask.at, message, { nonce: nonceOf(ask.id, instant(0)), notify: notify as never })),
  });
  const take = createPresses({ router: bot.router, answering, words, log, formWait: tuning.formWait, named: commandNamed(needs.commands, words), offer: (typing) => openJobsFor(store, words, typing) });
  const ears = createEars({ store, router: bot.router, marks, order, self, readsAll: () => application?.readsAll ?? false });
  const markKinds = bot.subjects.flatMap((subject) => subject.tickMarks ?? []).map(({ kind }) => kind);
  const guilds: GuildNeeds = { store, log, onBack: bot.onLive };
  const logins = createLogins({ store, told: (ms) => log.warn({ seconds: Math.round(ms / 1000) }, 'many logins lately: waiting before the next') });
  const throttler: Throttler = tuning.throttler ?? (async () => ({ waitForIdentify: async (_shard, signal) => logins(signal) }));

  const readBack = async (live: Client<true>): Promise<void> => {
    marks.stand();
    await settleGuilds(guilds, new Set(live.guilds.cache.keys()), clock.now());
    await checkRoles({ client: live, store, words, ids }, clock.now());
    await catchUp({ client: live, store, clock, log, ears, marks, markKinds, pace: tuning.pace, wake: bot.sender.wake });
    marks.goOn();
    await marks.keep();
    ready.resolve();
  };

  /** One after the other: a session lost while the last one is still being read back is read back itself. */
  const onFresh = (live: Client<true>): void => {
    readySince = Date.now();
    isReady = true;
    client = live;
    const before = catching ?? Promise.resolve();
    follow('what was said before', () => (catching = before.then(() => readBack(live))));
  };

  const register = async (about: Application): Promise<void> => {
    if (await registerCommands(rests.rest, store, about.id, commandBodies(needs.commands, words))) log.info('commands registered');
  };

  const aboutUs = async (): Promise<Application> => {
    const about = (await cuttable.run((signal) => rests.rest.get(Routes.currentApplication(), { signal }))) as APIApplication;
    return { id: about.id, readsAll: mayReadAll(about.flags) };
  };

  const logIn = async (about: Application): Promise<void> => {
    const fresh = newClient(api, about.readsAll, throttler);
    lostSince = Date.now();
    listenTo({
      client: fresh, log, ears, take, follow,
      onFresh: () => void (fresh.isReady() ? onFresh(fresh) : fresh.once('clientReady', onFresh)),
      onResumed: () => {
        readySince = Date.now();
        isReady = true;
        void (catching ?? Promise.resolve()).then(marks.goOn, () => undefined);
        bot.sender.wake();
      },
      onLost: () => {
        isReady = false;
        lostSince = Date.now();
        marks.stand();
      },
      onClosed: (code) => {
        const ending = endingOfClose(code);
        if (ending) end(ending);
      },
      onGuildLeft: (guild) => guildLeft(guilds, guild, clock.now()),
      onGuildJoined: (guild) => guildBack(guilds, guild, clock.now()),
    });
    const login = fresh.login(token);
    attempt = { client: fresh, login };
    await login;
  };

  const reach = async (): Promise<void> => {
    let invited = false;
    for (let tries = 0; !stopping.signal.aborted; tries++)
      try {
        application = await aboutUs();
        if (!invited) told(`Add the bot to a server with: ${inviteLink(application.id)}`);
        invited = true;
        await register(application);
        if (!stopping.signal.aborted) await logIn(application);
        return;
      } catch (error) {
        const ending = endingOfError(error);
        if (ending) return end(ending);
        const wait = tuning.retryPause(tries);
        if (!stopping.signal.aborted) log.warn({ seconds: Math.round(wait / 1000), err: error instanceof Error ? error.message : 'unknown' }, 'the platform cannot be reached yet, trying again');
        await pauseUnless(wait, stopping.signal);
      }
  };

  const watch = setInterval(() => {
    if (!client) return;
    const lastBeat = client.ws.shards.first()?.lastPingTimestamp ?? 0;
    if (isDeaf({ ready: isReady && client.ws.status === Status.Ready, readySince, lostSince, lastBeat }, Date.now(), tuning.silence, tuning.absence)) end(ENDINGS.deaf);
  }, tuning.watchEvery).unref();
  const keep = setInterval(() => follow('marks', marks.keep), tuning.keepEvery).unref();
  const check = setInterval(() => follow('roles', async () => (client ? checkRoles({ client, store, words, ids }, clock.now()) : undefined)), tuning.checkEvery).unref();
  await bot.resume();
  void reach();

  /** A client ended while it is still logging in would wait for ever, or log in once more. */
  const leave = async (): Promise<void> => {
    if (!attempt) return;
    await bounded(attempt.login, tuning.longestStep);
    if (!(await bounded(attempt.client.destroy(), tuning.longestStep))) log.warn('the connection did not close in time');
  };

  return {
    bot,
    ready: ready.promise,
    ended: ended.promise,
    idle: order.idle,
    close: async () => {
      stopping.abort();
      clearInterval(watch);
      for (const each of [keep, check]) clearInterval(each);
      await bounded(order.idle(), tuning.longestStep);
      if (!(await bounded(bot.sender.stop(), tuning.longestStep))) cuttable.cut();
      await bot.sender.stop();
      await marks.keep();
      await leave();
      rests.close();
      ended.resolve(undefined);
    },
  };
};
