import { Events, type Client, type Interaction } from 'discord.js';
import type { Logger } from 'pino';
import { errorFacts } from './error-facts.ts';
import type { Ears } from './listen.ts';

export type SessionNeeds = {
  readonly client: Client;
  readonly log: Logger;
  readonly ears: Ears;
  readonly take: (interaction: Interaction) => Promise<void>;
  /** Work begun by an event: followed to its end, its failures logged. */
  readonly follow: (what: string, work: () => Promise<void>) => void;
  /** A session that has not heard what was said before it. */
  readonly onFresh: () => void;
  readonly onResumed: () => void;
  readonly onLost: () => void;
  /** The platform closed the connection with this code and the library has given up. */
  readonly onClosed: (code: number) => void;
  readonly onGuildLeft: (guild: string) => Promise<void>;
  readonly onGuildJoined: (guild: string) => Promise<void>;
};

/** Everything the platform tells a client goes to its place. Registered once, before the login: ready may come before it returns. */
export const listenTo = (needs: SessionNeeds): void => {
  const { client, log, ears, take, follow } = needs;
  client.on(Events.InteractionCreate, (interaction) => follow('a press', () => take(interaction)));
  client.on(Events.MessageCreate, (message) => follow('words', () => ears.hear(message)));
  client.on(Events.MessageReactionAdd, (reaction, user) => follow('a mark', () => ears.see(reaction, user, true)));
  client.on(Events.MessageReactionRemove, (reaction, user) => follow('a mark', () => ears.see(reaction, user, false)));
  client.on(Events.GuildDelete, (guild) => follow('a server left', () => needs.onGuildLeft(guild.id)));
  client.on(Events.GuildCreate, (guild) => follow('a server joined', () => needs.onGuildJoined(guild.id)));
  client.on(Events.ShardReady, () => needs.onFresh());
  client.on(Events.ShardResume, () => needs.onResumed());
  client.on(Events.ShardReconnecting, () => needs.onLost());
  client.on(Events.ShardDisconnect, ({ code }) => needs.onClosed(code));
  client.on(Events.ShardError, (error) => log.warn({ err: errorFacts(error) }, 'the connection has trouble'));
  client.on(Events.Error, (error) => log.error({ err: errorFacts(error) }, 'an event stumbled'));
  client.on(Events.Warn, (text) => log.warn(text));
};
