import { randomBytes } from 'node:crypto';
import { PermissionFlagsBits, type Client } from 'discord.js';
import type { Logger } from 'pino';
import type { assemble, Bot, Config } from '../assemble.ts';
import { personId } from '../chat/who.ts';
import { markShown } from '../delivery/outbox.ts';
import { nonceOf } from '../delivery/sender.ts';
import type { Ids } from '../store/id.ts';
import type { Store } from '../store/store.ts';
import type { Clock } from '../time/clock.ts';
import { instant } from '../time/instant.ts';
import { createAnswering, type Answering } from './answer.ts';
import { createDiscordChat } from './chat.ts';
import type { Cuttable } from './cut.ts';
import { errorFacts } from './error-facts.ts';
import type { InOrder } from './in-order.ts';
import type { Rests } from './rests.ts';

export type TalkNeeds = {
  readonly rests: Rests;
  readonly cuttable: Cuttable;
  readonly order: InOrder;
  readonly store: Store;
  readonly config: Config;
  readonly clock: Clock;
  readonly log: Logger;
  readonly ids: Ids;
  readonly assemble: typeof assemble;
  readonly pace: () => Promise<void>;
  /** The client that is logged in; undefined before the first login. */
  readonly client: () => Client<true> | undefined;
};

/** The bot, and the two ways in which it speaks: by itself, and in answer to a press. */
export const createTalk = ({ rests, cuttable, order, store, config, clock, log, ids, assemble: put, pace, client }: TalkNeeds): { readonly bot: Bot; readonly answering: Answering } => {
  const undrawn = (name: string, error: unknown): void => log.error({ name, err: errorFacts(error) }, 'a picture could not be drawn');
  const self = (): string => client()?.user.id ?? '';

  const readsHistory = (id: string): boolean | undefined => {
    const channel = client()?.channels.cache.get(id);
    return channel && 'guild' in channel ? channel.permissionsFor(self())?.has([PermissionFlagsBits.ViewChannel, PermissionFlagsBits.ReadMessageHistory]) : undefined;
  };
  const openDirect = async (person: string): Promise<string> => {
    const live = client();
    if (!live) throw new Error('not connected');
    return (await live.users.createDM(person)).id;
  };

  const chat = createDiscordChat({ rest: rests.rest, cuttable, undrawn, clock, self, readsHistory, openDirect, online: () => client() !== undefined, inOrder: order.run });
  const answering = createAnswering({
    answers: rests.answers, log, undrawn, edit: chat.edit, inOrder: order.run,
    tail: () => randomBytes(4).toString('base64url'),
    shown: (key, version) => markShown(store, key, version),
    say: async (ask, message, notify) => void (await chat.send(ask.at, message, { nonce: nonceOf(ask.id, instant(0)), notify: notify.map(personId) })),
  });
  return { bot: put({ store, chat, clock, log, ids, config, pace }), answering };
};
