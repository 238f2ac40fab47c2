import {
  ActionRowBuilder, ButtonBuilder, ButtonStyle, DiscordAPIError, Events, Routes, type Client, type ClientOptions, type Interaction, type TextChannel,
} from 'discord.js';
import { connect, type Pair } from './bot.ts';
import type { Double, DoubleOptions } from './double/double.ts';
import type { Person } from './double/person.ts';
import type { Place } from './double/places.ts';
import type { Channel, Message } from './double/world.ts';

export type Cafe = Pair & { readonly place: Place; readonly bar: Channel; readonly mia: Person; readonly text: TextChannel };

/** A connected client in an invented café with one channel and one barista. */
export async function cafe(doubleOptions: DoubleOptions = {}, options: Partial<ClientOptions> = {}): Promise<Cafe> {
  let made: Pick<Cafe, 'place' | 'bar' | 'mia'> | undefined;
  const furnish = (double: Double): void => {
    const place = double.place('Café Lantern Street', 'Ola');
    made = { place, bar: place.channel('bar'), mia: place.person('Mia', [place.role('bar')]) };
  };
  const pair = await connect(furnish, doubleOptions, options);
  if (!made) throw new Error('the café was not furnished');
  return { ...pair, ...made, text: (await pair.client.channels.fetch(made.bar.id)) as TextChannel };
}

export const button = (id: string, label: string): ActionRowBuilder<ButtonBuilder> =>
  new ActionRowBuilder<ButtonBuilder>().addComponents(new ButtonBuilder().setCustomId(id).setLabel(label).setStyle(ButtonStyle.Primary));

/** The same button as it goes over the wire, past the checks of the builders. */
export const rawButton = (id: string, label: string): object => ({ type: 2, style: 1, custom_id: id, label });
export const rawRow = (...components: readonly object[]): object => ({ type: 1, components });

/** A listener whose failures reach the client's `error` event instead of being lost. */
export function onInteraction(client: Client, take: (interaction: Interaction) => Promise<unknown>): void {
  client.on(Events.InteractionCreate, (interaction) => void take(interaction).catch((error: unknown) => client.emit(Events.Error, error as Error)));
}

/** What the platform refused: status, code and the form errors by path. */
export type Refused = { readonly status: number; readonly code: number | string; readonly fields: readonly string[] };

function paths(errors: unknown, at = ''): string[] {
  if (typeof errors !== 'object' || errors === null) return [];
  return Object.entries(errors).flatMap(([step, inner]) => (step === '_errors' ? [at] : paths(inner, at === '' ? step : `${at}.${step}`)));
}

export async function refusal(work: Promise<unknown>): Promise<Refused> {
  try {
    await work;
  } catch (error) {
    if (!(error instanceof DiscordAPIError)) throw error;
    return { status: error.status, code: error.code, fields: paths((error.rawError as { errors?: unknown }).errors) };
  }
  throw new Error('it was not refused');
}

/** A message sent as raw JSON: nothing of the client's own checks stands before the platform. */
export const post = (client: Client, channel: { readonly id: string }, body: object): Promise<unknown> => client.rest.post(Routes.channelMessages(channel.id), { body });

export function shown(cafeNow: Pick<Cafe, 'place' | 'bar'>): Message {
  const last = cafeNow.place.messages(cafeNow.bar).at(-1);
  if (!last) throw new Error('nothing is shown');
  return last;
}
