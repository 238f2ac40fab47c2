import { InteractionResponseType, Routes, type REST } from 'discord.js';
import type { Logger } from 'pino';
import type { Answer } from '../chat/incoming.ts';
import { fitting } from '../chat/limits.ts';
import type { Form, Message } from '../chat/message.ts';
import type { PlaceId } from '../chat/who.ts';
import { errorFacts } from './error-facts.ts';
import { modalOf } from './modal.ts';
import { codeOf } from './refusals.ts';
import { PRIVATE, render, type Undrawn } from './render.ts';

/** How the first answer to something was given, or that none was yet. */
export type Acked = 'update' | 'private' | 'none';

/** What can be answered: one press, command or form, by the platform's ids. */
export type Ask = {
  readonly id: string;
  readonly token: string;
  readonly application: string;
  readonly at: PlaceId;
  /** The message pressed on, and whether only the presser sees it. */
  readonly on?: { readonly id: string; readonly hidden: boolean };
  /** In somebody's own direct messages nothing needs hiding. */
  readonly openly: boolean;
};

export type AnswerNeeds = {
  readonly answers: REST;
  readonly log: Logger;
  /** Changes a message in its place, in order with all other changes to it. */
  readonly edit: (place: PlaceId, id: string, message: Message) => Promise<void>;
  readonly say: (ask: Ask, message: Message, notify: readonly string[]) => Promise<void>;
  /** Told when a message of the outbox shows this version. */
  readonly shown: (key: string, version: number) => Promise<void>;
  readonly inOrder: <T>(message: string, work: () => Promise<T>) => Promise<T>;
  readonly tail: () => string;
  readonly undrawn: Undrawn;
};

export type Answering = {
  /** True when the platform took the acknowledgement in time. */
  readonly acknowledge: (ask: Ask, how: 'update' | 'private') => Promise<boolean>;
  readonly give: (ask: Ask, acked: Acked, answer: Answer) => Promise<void>;
  readonly choices: (ask: Ask, choices: readonly { readonly name: string; readonly value: string }[]) => Promise<void>;
};

type Redraw = Extract<Answer, { kind: 'redraw' }>;

const LONGEST_ACK = 2500;
const ALREADY = 40060;
const MOST_REMEMBERED = 1000;

export const createAnswering = ({ answers, log, edit, say, shown, inOrder, tail, undrawn }: AnswerNeeds): Answering => {
  const newest = new Map<string, number>();

  const remember = (key: string, version: number): void => {
    newest.set(key, version);
    const [oldest] = newest.keys();
    if (newest.size > MOST_REMEMBERED && oldest !== undefined) newest.delete(oldest);
  };

  const callback = async (ask: Ask, body: object, files: readonly { readonly name: string; readonly data: Uint8Array }[] = []): Promise<boolean> => {
    const signal = AbortSignal.timeout(LONGEST_ACK);
    for (let tries = 1; ; tries++)
      try {
        await answers.post(Routes.interactionCallback(ask.id, ask.token), { body, files: [...files], auth: false, signal });
        return true;
      } catch (error) {
        // The answer to an earlier try was lost on its way: the platform has ours.
        if (codeOf(error) === ALREADY) return true;
        if (codeOf(error) === undefined && tries < 2 && !signal.aborted) continue;
        log.warn({ code: codeOf(error), err: errorFacts(error) }, 'an answer came too late');
        return false;
      }
  };

  const flags = (ask: Ask): { readonly flags?: number } => (ask.openly ? {} : { flags: PRIVATE });

  /** For what may safely be done twice: the library does not try again when a line is closed under it. */
  const twice = async (work: () => Promise<unknown>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      if (codeOf(error) !== undefined) throw error;
      await work();
    }
  };

  const original = async (ask: Ask, message: Message): Promise<void> => {
    const { body, files } = await render(fitting(message), undrawn);
    await twice(() => answers.patch(Routes.webhookMessage(ask.application, ask.token), { body, files: [...files], auth: false }));
  };

  const followUp = async (ask: Ask, message: Message): Promise<void> => {
    const { body, files } = await render(fitting(message), undrawn);
    await answers.post(Routes.webhook(ask.application, ask.token), { body: { ...body, ...flags(ask) }, files: [...files], auth: false });
  };

  const dropThinking = async (ask: Ask): Promise<void> => {
    await twice(() => answers.delete(Routes.webhookMessage(ask.application, ask.token), { auth: false }));
  };

  const firstReply = async (ask: Ask, message: Message): Promise<void> => {
    const { body, files } = await render(fitting(message), undrawn);
    await callback(ask, { type: InteractionResponseType.ChannelMessageWithSource, data: { ...body, ...flags(ask) } }, files);
  };

  const whisper = async (ask: Ask, acked: Acked, message: Message): Promise<void> => {
    if (acked === 'update') return followUp(ask, message);
    return acked === 'private' ? original(ask, message) : firstReply(ask, message);
  };

  const noted = async (ask: Ask, acked: Acked, message: Message | undefined): Promise<void> => {
    if (message) return whisper(ask, acked, message);
    if (acked === 'private') return dropThinking(ask);
    if (acked === 'none') await callback(ask, { type: InteractionResponseType.DeferredMessageUpdate });
  };

  const isOlder = ({ shows }: Redraw): boolean => shows !== undefined && (newest.get(shows.key) ?? 0) > shows.version;

  const showing = async (answer: Redraw, show: () => Promise<void>): Promise<void> => {
    if (isOlder(answer)) return;
    if (answer.shows) remember(answer.shows.key, answer.shows.version);
    await show();
    if (answer.shows) await shown(answer.shows.key, answer.shows.version);
  };

  const update = async (ask: Ask, message: Message): Promise<void> => {
    const { body, files } = await render(fitting(message), undrawn);
    await callback(ask, { type: InteractionResponseType.UpdateMessage, data: body }, files);
  };

  /** A press answered later than a newer one on the same message has nothing more to show. */
  const redrawOnce = async (ask: Ask, on: string, acked: Acked, answer: Redraw): Promise<void> => {
    if (acked === 'private') return showing(answer, () => edit(ask.at, on, answer.message));
    return inOrder(on, () => showing(answer, () => (acked === 'update' ? original(ask, answer.message) : update(ask, answer.message))));
  };

  const openForm = async (ask: Ask, acked: Acked, form: Form): Promise<void> => {
    if (acked !== 'none') throw new Error('a form can only be the first answer');
    await callback(ask, { type: InteractionResponseType.Modal, data: modalOf(form, tail()) });
  };

  const complain = (kind: string, error: unknown): void => log.warn({ kind, code: codeOf(error), err: errorFacts(error) }, 'an answer could not be shown');

  const redraw = async (ask: Ask, acked: Acked, answer: Redraw): Promise<void> => {
    // A message only the presser sees can be changed by the acknowledgement alone: acknowledged otherwise, it is shown anew.
    if (ask.on === undefined || (acked === 'private' && ask.on.hidden)) {
      await whisper(ask, acked, answer.message);
      return answer.private ? followUp(ask, answer.private) : undefined;
    }
    await redrawOnce(ask, ask.on.id, acked, answer).catch((error: unknown) => complain('redraw', error));
    if (answer.private) return whisper(ask, acked === 'none' ? 'update' : acked, answer.private);
    return acked === 'private' ? dropThinking(ask) : undefined;
  };

  const give = async (ask: Ask, acked: Acked, answer: Answer): Promise<void> => {
    switch (answer.kind) {
      case 'redraw':
        return redraw(ask, acked, answer);
      case 'noted':
        return noted(ask, acked, answer.private);
      case 'private':
        return whisper(ask, acked, answer.message);
      case 'say':
        await noted(ask, acked, undefined);
        return say(ask, answer.message, answer.notify ?? []);
      case 'form':
        return openForm(ask, acked, answer.form);
    }
  };

  return {
    acknowledge: async (ask, how) =>
      callback(ask, how === 'update' ? { type: InteractionResponseType.DeferredMessageUpdate } : { type: InteractionResponseType.DeferredChannelMessageWithSource, data: flags(ask) }),
    give: async (ask, acked, answer) => {
      try {
        await give(ask, acked, answer);
      } catch (error) {
        complain(answer.kind, error);
      }
    },
    choices: async (ask, choices) => void (await callback(ask, { type: InteractionResponseType.ApplicationCommandAutocompleteResult, data: { choices } })),
  };
};
