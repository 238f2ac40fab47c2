import { Routes, type APIMessage, type REST } from 'discord.js';
import type { Message } from '../chat/message.ts';
import { ChatRefused, type Chat, type Found, type SendOptions } from '../chat/port.ts';
import { idOf, isDirect, type PersonId, type PlaceId } from '../chat/who.ts';
import { assertOutside } from '../store/guard.ts';
import type { Clock } from '../time/clock.ts';
import type { Instant } from '../time/instant.ts';
import type { Cuttable } from './cut.ts';
import { asking, codeOf, isOldEditLimit, REPLY_NEEDS_HISTORY } from './refusals.ts';
import { idsIn, isContentOf, render, rowsOf, SILENT, type Called, type Rendered, type Row, type Undrawn } from './render.ts';
import { byAge, idAt } from './snowflake.ts';

export type ChatNeeds = {
  readonly rest: REST;
  readonly cuttable: Cuttable;
  /** Is the bot logged in? Before that nothing is tried. */
  readonly online: () => boolean;
  readonly self: () => string;
  /** The channel of someone's direct messages. */
  readonly openDirect: (person: string) => Promise<string>;
  /** May the bot look back in this channel? Undefined where that cannot be told. */
  readonly readsHistory: (channel: string) => boolean | undefined;
  /** One change after the other on one message. */
  readonly inOrder: <T>(message: string, work: () => Promise<T>) => Promise<T>;
  readonly undrawn: Undrawn;
  readonly clock: Clock;
};

/** The platform speaks of "the past few minutes"; two is less than that. */
const NONCE_WINDOW = 120_000;
const OLD_EDITS_REST = 60_000;
const PAGE = 100;
const MOST_PAGES = 20;

const calledBy = (place: PlaceId, { notify = [], notifyRoles = [] }: SendOptions): Called =>
  isDirect(place) ? { people: [], roles: [] } : { people: notify, roles: notifyRoles };

const bodyFor = ({ body }: Rendered, { nonce, silent, replyTo }: SendOptions, withReply: boolean): object => ({
  ...body,
  // Both are needed: a nonce alone is not held against repeats.
  nonce,
  enforce_nonce: true,
  ...(silent ? { flags: SILENT } : {}),
  ...(withReply && replyTo !== undefined ? { message_reference: { message_id: replyTo, fail_if_not_exists: false } } : {}),
});

const sameIds = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((id, i) => id === b[i]);

/** The platform as the sender sees it. */
export const createDiscordChat = (needs: ChatNeeds): Chat => {
  const { rest, cuttable, online, openDirect, inOrder, undrawn, clock } = needs;
  const oldEdits = new Map<string, number>();

  const channelOf = async (place: PlaceId): Promise<string> => (isDirect(place) ? openDirect(idOf(place) as PersonId) : idOf(place));

  const ask = async <T>(what: string, work: () => Promise<T>): Promise<T> => {
    assertOutside(what);
    if (!online()) throw new ChatRefused({ why: 'unavailable' });
    return asking(work);
  };

  const post = async (channel: string, rendered: Rendered, options: SendOptions, withReply: boolean): Promise<string> => {
    const sent = (await cuttable.run((signal) => rest.post(Routes.channelMessages(channel), { body: bodyFor(rendered, options, withReply), files: [...rendered.files], signal }))) as APIMessage;
    return sent.id;
  };

  const send = async (place: PlaceId, message: Message, options: SendOptions): Promise<string> => {
    const rendered = await render(message, undrawn, calledBy(place, options));
    const channel = await channelOf(place);
    try {
      return await post(channel, rendered, options, true);
    } catch (error) {
      if (codeOf(error) !== REPLY_NEEDS_HISTORY || options.replyTo === undefined) throw error;
      return post(channel, rendered, options, false);
    }
  };

  const edit = async (place: PlaceId, id: string, message: Message): Promise<void> => {
    const rendered = await render(message, undrawn);
    const channel = await channelOf(place);
    const rests = (oldEdits.get(channel) ?? 0) - clock.now();
    if (rests > 0) throw new ChatRefused({ why: 'unavailable', wait: rests });
    try {
      await cuttable.run((signal) => rest.patch(Routes.channelMessage(channel, id), { body: rendered.body, files: [...rendered.files], signal }));
    } catch (error) {
      if (isOldEditLimit(error)) oldEdits.set(channel, clock.now() + OLD_EDITS_REST);
      throw error;
    }
  };

  const pageAfter = async (channel: string, after: string): Promise<readonly APIMessage[]> => {
    const page = (await cuttable.run((signal) => rest.get(Routes.channelMessages(channel), { query: new URLSearchParams({ after, limit: String(PAGE) }), signal }))) as readonly APIMessage[];
    return [...page].sort((a, b) => byAge(a.id, b.id));
  };

  const find = async (place: PlaceId, message: Message, since: Instant): Promise<Found> => {
    const channel = await channelOf(place);
    if (!isDirect(place) && needs.readsHistory(channel) === false) return { kind: 'unreadable' };
    const wanted = idsIn(rowsOf(message));
    const fits = (each: APIMessage): boolean => each.author.id === needs.self() && sameIds(idsIn((each.components ?? []) as unknown as Row[]), wanted) && isContentOf(each.content, message);
    let after = idAt(since);
    for (let page = 0; page < MOST_PAGES; page++) {
      const messages = await pageAfter(channel, after);
      const found = messages.find(fits);
      if (found) return { kind: 'found', id: found.id };
      if (messages.length < PAGE) return page === 0 && messages.length === 0 && !isDirect(place) && needs.readsHistory(channel) === undefined ? { kind: 'unreadable' } : { kind: 'not-found' };
      after = messages.at(-1)?.id ?? after;
    }
    return { kind: 'unreadable' };
  };

  return {
    nonceWindow: NONCE_WINDOW,
    send: async (place, message, options) => ask('sending', () => send(place, message, options)),
    edit: async (place, id, message) => ask('changing a message', () => inOrder(id, () => edit(place, id, message))),
    remove: async (place, id) => ask('removing a message', async () => {
      const channel = await channelOf(place);
      await cuttable.run((signal) => rest.delete(Routes.channelMessage(channel, id), { signal }));
    }),
    find: async (place, message, since) => ask('looking back', () => find(place, message, since)),
  };
};
