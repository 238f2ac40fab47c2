import { ApplicationFlags, Client, GatewayIntentBits, Options, Partials, type ClientOptions, type WebSocketOptions } from 'discord.js';

/** What an application is, as far as the bot needs to know. */
export type Application = { readonly id: string; readonly readsAll: boolean };

const INTENTS = [GatewayIntentBits.Guilds, GatewayIntentBits.GuildMessages, GatewayIntentBits.GuildMessageReactions, GatewayIntentBits.DirectMessages, GatewayIntentBits.DirectMessageReactions] as const;
const READS_ALL = ApplicationFlags.GatewayMessageContent | ApplicationFlags.GatewayMessageContentLimited;

/** The right to read all messages is asked for only where it was given: asked for without, the platform refuses the login. */
export const mayReadAll = (flags: number | undefined): boolean => ((flags ?? 0) & READS_ALL) !== 0;

const MOST_MEMBERS = 200;
const MOST_USERS = 500;

/** Enough kept to know who wrote and what was answered, little enough for a small machine. */
const CACHE: NonNullable<ClientOptions['makeCache']> = Options.cacheWithLimits({
  ...Options.DefaultMakeCacheSettings,
  MessageManager: 50,
  PresenceManager: 0,
  VoiceStateManager: 0,
  GuildMemberManager: { maxSize: MOST_MEMBERS, keepOverLimit: (member) => member.id === member.client.user.id },
  UserManager: { maxSize: MOST_USERS, keepOverLimit: (user) => user.id === user.client.user.id },
});

export type Throttler = NonNullable<WebSocketOptions['buildIdentifyThrottler']>;

/** A client that is not logged in yet. Partials: old messages and direct channels it has not seen still count. */
export const newClient = (api: string | undefined, readsAll: boolean, buildIdentifyThrottler: Throttler): Client =>
  new Client({
    intents: readsAll ? [...INTENTS, GatewayIntentBits.MessageContent] : INTENTS,
    partials: [Partials.Message, Partials.Channel, Partials.Reaction, Partials.User],
    allowedMentions: { parse: [], repliedUser: false },
    enforceNonce: true,
    makeCache: CACHE,
    sweepers: { ...Options.DefaultSweeperSettings, messages: { interval: 3600, lifetime: 1800 } },
    rest: { ...(api === undefined ? {} : { api }), timeout: 10_000, retries: 2, invalidRequestWarningInterval: 500 },
    ws: { buildIdentifyThrottler },
  });
