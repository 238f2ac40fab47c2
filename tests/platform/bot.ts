import { Client, Events, GatewayIntentBits, Partials, type ClientOptions } from 'discord.js';
import { openDouble, type Double, type DoubleOptions } from './double/double.ts';

export const INTENTS = [
  GatewayIntentBits.Guilds, GatewayIntentBits.GuildMessages, GatewayIntentBits.GuildMessageReactions, GatewayIntentBits.DirectMessages, GatewayIntentBits.DirectMessageReactions,
];
export type Pair = { readonly double: Double; readonly client: Client<true>; readonly errors: readonly Error[] };

/** The real client, pointed at the double and not yet logged in. */
export function newClient(double: Double, options: Partial<ClientOptions> = {}): Client {
  return new Client({
    intents: INTENTS,
    partials: [Partials.Message, Partials.Channel, Partials.Reaction, Partials.User],
    allowedMentions: { parse: [], repliedUser: false },
    enforceNonce: true,
    ...options,
    rest: { api: double.api, timeout: 10_000, retries: 2, ...options.rest },
  });
}

/** Ready can come before `login` resolves, so it is listened for first. */
export async function ready(client: Client, token: string): Promise<Client<true>> {
  const there = new Promise<Client<true>>((resolve) => client.once(Events.ClientReady, resolve));
  await client.login(token);
  return there;
}

const open: { double: Double; client: Client }[] = [];

/** A double with a client connected to it; `set` fills the world before the login. */
export async function connect(set: (double: Double) => void = () => undefined, doubleOptions: DoubleOptions = {}, options: Partial<ClientOptions> = {}): Promise<Pair> {
  const double = await openDouble(doubleOptions);
  set(double);
  const client = newClient(double, options);
  const errors: Error[] = [];
  client.on(Events.Error, (error) => errors.push(error));
  open.push({ double, client });
  return { double, client: await ready(client, double.token), errors };
}

/** For `afterEach`: everything `connect` opened goes. */
export async function disconnectAll(): Promise<void> {
  for (const { client, double } of open.splice(0)) {
    // A client ended between login and READY waits for ever and logs in again: let it take READY in first.
    await double.gateway.heard();
    await client.destroy();
    await double.close();
  }
}
