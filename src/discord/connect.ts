import { Events, type Client } from 'discord.js';
import type { Logger } from 'pino';
import type { assemble, Bot, Config } from '../assemble.ts';
import type { Ids } from '../store/id.ts';
import type { Store } from '../store/store.ts';
import type { Clock } from '../time/clock.ts';
import { bounded } from './bounded.ts';
import { catchUp } from './catch-up.ts';
import { openJobsFor } from './choices.ts';
import { newClient, type Application, type Throttler } from './client.ts';
import { commandBodies, commandNamed, registerCommands, type CommandPlan } from './commands.ts';
import { createCuttable } from './cut.ts';
import { endingOfClose, ENDINGS, type Ending } from './endings.ts';
import { errorFacts } from './error-facts.ts';
import { guildBack, guildLeft, settleGuilds, type GuildNeeds } from './guilds.ts';
import { createInOrder } from './in-order.ts';
import { inviteLink } from './invite.ts';
import { createEars } from './listen.ts';
import { createLogins } from './logins.ts';
import { createPresses } from './presses.ts';
import { askAboutUs, keepTrying } from './reach.ts';
import { createReadMarks } from './read-marks.ts';
import { createRecall } from './recall.ts';
import { createRests } from './rests.ts';
import { checkRoles } from './role-check.ts';
import { listenTo } from './session.ts';
import { createTalk } from './talk.ts';
import { usualTuning, type Tuning } from './tuning.ts';
import { createPulse } from './watch.ts';

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
  const { words } = config;
  const tuning: Tuning = { ...usualTuning(), ...needs.tuning };
  const ready = openPromise<void>();
  const ended = openPromise<Ending | undefined>();
  const stopping = new AbortController();
  let client: Client<true> | undefined;
  let application: Application | undefined;
  let attempt: { readonly client: Client; readonly login: Promise<unknown> } | undefined;

  const end = (ending: Ending | undefined): void => {
    if (ending && !stopping.signal.aborted) ended.resolve(ending);
  };
  const order = createInOrder();
  const follow = (what: string, work: () => Promise<void>): void => {
    if (stopping.signal.aborted) return;
    order.track(work().catch((error: unknown) => log.error({ err: errorFacts(error) }, `${what} could not be taken`)));
  };

  const cuttable = createCuttable();
  const rests = createRests({ api, token, log, onTokenRefused: () => end(ENDINGS.token) });
  const { bot, answering } = createTalk({ rests, cuttable, order, store, config, clock, log, ids, assemble: needs.assemble, pace: tuning.pace, client: () => client });
  const marks = createReadMarks(store);
  const ears = createEars({ store, router: bot.router, marks, order, self: () => client?.user.id ?? '', readsAll: () => application?.readsAll ?? false });
  const take = createPresses({ router: bot.router, answering, words, log, formWait: tuning.formWait, named: commandNamed(needs.commands, words), offer: (typing) => openJobsFor(store, words, typing) });

  const guilds: GuildNeeds = { store, log, onBack: bot.onLive };
  const markKinds = bot.subjects.flatMap((subject) => subject.tickMarks ?? []).map(({ kind }) => kind);
  const readBack = async (live: Client<true>): Promise<void> => {
    await settleGuilds(guilds, new Set(live.guilds.cache.keys()), clock.now());
    await checkRoles({ client: live, store, words, ids }, clock.now());
    await catchUp({ client: live, store, clock, log, ears, marks, markKinds, pace: tuning.pace, wake: bot.sender.wake, stopping: stopping.signal });
  };
  const recall = createRecall({ log, marks, read: readBack, follow, retryPause: tuning.retryPause, stopping: stopping.signal, done: ready.resolve });

  const pulse = createPulse();
  const onFresh = (live: Client<true>): void => {
    pulse.found();
    client = live;
    recall.fresh(live);
  };
  const onResumed = (): void => {
    pulse.found();
    recall.resumed();
    bot.sender.wake();
  };
  const onLost = (): void => {
    pulse.lost();
    recall.lost();
  };

  const logins = createLogins({ store, told: (ms) => log.warn({ seconds: Math.round(ms / 1000) }, 'many logins lately: waiting before the next') });
  const throttler: Throttler = tuning.throttler ?? (async () => ({ waitForIdentify: async (_shard, signal) => logins(signal) }));
  const logIn = async (about: Application): Promise<void> => {
    const fresh = newClient(api, about.readsAll, throttler);
    listenTo({
      client: fresh, log, ears, take, follow, onResumed, onLost,
      onFresh: () => void (fresh.isReady() ? onFresh(fresh) : fresh.once(Events.ClientReady, onFresh)),
      onClosed: (code) => end(endingOfClose(code)),
      onGuildLeft: (guild) => guildLeft(guilds, guild, clock.now()),
      onGuildJoined: (guild) => guildBack(guilds, guild, clock.now()),
    });
    attempt = { client: fresh, login: fresh.login(token) };
    await attempt.login;
  };

  let invited = false;
  const reach = async (): Promise<void> => {
    const about = await askAboutUs(rests.rest, cuttable);
    application = about;
    if (!invited) told(`Add the bot to a server with: ${inviteLink(about.id)}`);
    invited = true;
    if (await registerCommands(rests.rest, store, about.id, commandBodies(needs.commands, words))) log.info('commands registered');
    if (!stopping.signal.aborted) await logIn(about);
  };

  const watch = (): void => {
    if (client && pulse.isDeaf(client.ws.shards.first()?.lastPingTimestamp ?? 0, tuning.silence, tuning.absence)) end(ENDINGS.deaf);
  };
  const check = (): void => follow('roles', async () => (client ? checkRoles({ client, store, words, ids }, clock.now()) : undefined));
  const every = [setInterval(watch, tuning.watchEvery), setInterval(() => follow('marks', marks.keep), tuning.keepEvery), setInterval(check, tuning.checkEvery)];
  for (const each of every) each.unref();

  /** A client ended while it is still logging in would wait for ever, or log in once more. */
  const leave = async (): Promise<void> => {
    if (!attempt) return;
    await bounded(attempt.login, tuning.longestStep);
    if (!(await bounded(attempt.client.destroy(), tuning.longestStep))) log.warn('the connection did not close in time');
  };

  await bot.resume();
  void keepTrying({ log, retryPause: tuning.retryPause, stopping: stopping.signal, end }, reach);
  return {
    bot,
    ready: ready.promise,
    ended: ended.promise,
    idle: order.idle,
    close: async () => {
      stopping.abort();
      for (const each of every) clearInterval(each);
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
