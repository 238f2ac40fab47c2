import { setTimeout as pause } from 'node:timers/promises';
import type { AutocompleteInteraction, ChatInputCommandInteraction, Interaction, MessageComponentInteraction, MessageContextMenuCommandInteraction, ModalSubmitInteraction } from 'discord.js';
import type { Logger } from 'pino';
import type { Answer, Incoming } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { decodePress, type Press } from '../chat/press.ts';
import type { Router } from '../router.ts';
import type { Words } from '../words/catalogue.ts';
import type { Answering, Ask } from './answer.ts';
import { answersFrom, askOf, commandFrom, longPressFrom, pressFrom, typingFrom, type Named } from './asked.ts';
import type { Offered, Typing } from './choices.ts';
import { errorFacts } from './error-facts.ts';
import { pressOfModal } from './modal.ts';
import { createOnce } from './once.ts';

export type PressNeeds = {
  readonly router: Router;
  readonly answering: Answering;
  readonly words: Words;
  readonly log: Logger;
  readonly named: (shown: string) => Named | undefined;
  readonly offer: (typing: Typing) => Promise<readonly Offered[]>;
  /** How long a form may take to be made, in ms: it is the first answer, and that has to come within three seconds. */
  readonly formWait: number;
};

const TOO_LATE = Symbol('too late');

/** Everything people do with buttons, lists, forms and commands: acknowledged first, then done, then answered. */
export const createPresses = ({ router, answering, words, log, named, offer, formWait }: PressNeeds): ((interaction: Interaction) => Promise<void>) => {
  const sentence = (key: string, locale: string): Answer => ({ kind: 'private', message: message([words.in(locale)(key)]) });

  const answered = async (ask: Ask, how: 'update' | 'private', incoming: () => Incoming): Promise<void> => {
    if (!(await answering.acknowledge(ask, how))) return;
    const answer = await router.take(incoming());
    if (answer) await answering.give(ask, how, answer);
  };

  const openForm = async (ask: Ask, incoming: Incoming, locale: string): Promise<void> => {
    const limit = new AbortController();
    const late = pause(formWait, TOO_LATE, { signal: limit.signal }).catch(() => TOO_LATE);
    const answer = await Promise.race([router.take(incoming), late]);
    limit.abort();
    if (answer === TOO_LATE) log.warn({ press: 'press' in incoming ? incoming.press.kind : undefined }, 'a form was not ready in time');
    const known = answer === TOO_LATE || answer === undefined ? sentence('discord.tryAgain', locale) : (answer as Answer);
    await answering.give(ask, 'none', known);
  };

  const takePress = async (interaction: MessageComponentInteraction): Promise<void> => {
    const ask = askOf(interaction);
    const press = decodePress(interaction.customId);
    if (!press) return answering.give(ask, 'none', sentence('chat.tooOld', interaction.locale));
    const how = router.ackOf(press) ?? 'private';
    if (how === 'form') return openForm(ask, pressFrom(interaction, press), interaction.locale);
    return answered(ask, how, () => pressFrom(interaction, press));
  };

  /** A form came from a message or from a command; only the first has something to update. */
  const ackOfForm = (press: Press, ask: Ask): 'update' | 'private' => (ask.on === undefined || router.ackOf(press) === 'private' || router.ackOf(press) === undefined ? 'private' : 'update');

  const takeForm = async (interaction: ModalSubmitInteraction): Promise<void> => {
    const ask = askOf(interaction);
    const press = pressOfModal(interaction.customId);
    if (!press) return answering.give(ask, 'none', sentence('chat.tooOld', interaction.locale));
    return answered(ask, ackOfForm(press, ask), () => answersFrom(interaction, press));
  };

  const takeCommand = async (interaction: ChatInputCommandInteraction): Promise<void> => {
    const known = named(interaction.commandName) ?? { name: interaction.commandName, given: (option: string, value: string) => [option, value] as const };
    return answered(askOf(interaction), 'private', () => commandFrom(interaction, known));
  };

  const takeLongPress = async (interaction: MessageContextMenuCommandInteraction): Promise<void> =>
    answered(askOf(interaction), 'private', () => longPressFrom(interaction, named(interaction.commandName)?.name ?? interaction.commandName));

  const takeTyping = async (interaction: AutocompleteInteraction): Promise<void> => {
    const typing = typingFrom(interaction);
    const offered = await offer(typing).catch((error: unknown) => {
      log.warn({ err: errorFacts(error) }, 'nothing could be offered');
      return [];
    });
    await answering.choices(askOf(interaction), offered);
  };

  const isNew = createOnce();

  return async (interaction) => {
    if (!isNew(interaction.id)) return;
    if (interaction.isAutocomplete()) return takeTyping(interaction);
    if (interaction.isMessageComponent()) return takePress(interaction);
    if (interaction.isModalSubmit()) return takeForm(interaction);
    if (interaction.isChatInputCommand()) return takeCommand(interaction);
    if (interaction.isMessageContextMenuCommand()) return takeLongPress(interaction);
    log.warn({ type: interaction.type }, 'something nobody knows was pressed');
  };
};
