import type { AutocompleteInteraction, BaseInteraction, ChatInputCommandInteraction, MessageComponentInteraction, MessageContextMenuCommandInteraction, ModalSubmitInteraction } from 'discord.js';
import { MessageFlags } from 'discord.js';
import type { Incoming } from '../chat/incoming.ts';
import type { Press } from '../chat/press.ts';
import type { Ask } from './answer.ts';
import { filledIn } from './modal.ts';
import { askerOf, placeOf } from './persons.ts';

type Common = Pick<Incoming, 'id' | 'by' | 'at' | 'space' | 'locale'>;

const commonOf = (interaction: BaseInteraction): Common => ({
  id: interaction.id,
  by: askerOf(interaction),
  at: placeOf(interaction.guildId, interaction.channelId ?? '', interaction.user.id),
  locale: interaction.locale,
  ...(interaction.guildId === null ? {} : { space: interaction.guildId }),
});

const pressedOn = (message: { readonly id: string; readonly flags: { has: (flag: MessageFlags) => boolean } }): NonNullable<Ask['on']> => ({ id: message.id, hidden: message.flags.has(MessageFlags.Ephemeral) });

/** What is needed to answer this, whatever it is. */
export const askOf = (interaction: MessageComponentInteraction | ModalSubmitInteraction | ChatInputCommandInteraction | MessageContextMenuCommandInteraction | AutocompleteInteraction): Ask => ({
  id: interaction.id,
  token: interaction.token,
  application: interaction.applicationId,
  at: placeOf(interaction.guildId, interaction.channelId ?? '', interaction.user.id),
  openly: interaction.guildId === null,
  ...(interaction.isMessageComponent() || (interaction.isModalSubmit() && interaction.isFromMessage()) ? { on: pressedOn(interaction.message) } : {}),
});

/** What a command is called in our words, and what its options mean there. */
export type Named = { readonly name: string; readonly given: (option: string, value: string) => readonly [string, string] };

type Picks = { readonly picked?: readonly string[]; readonly pickedNames?: Readonly<Record<string, string>> };

const picksOf = (interaction: MessageComponentInteraction): Picks => {
  if (interaction.isStringSelectMenu()) {
    const labels = interaction.component.options.filter(({ value }) => interaction.values.includes(value));
    return { picked: interaction.values, pickedNames: Object.fromEntries(labels.map(({ value, label }) => [value, label])) };
  }
  if (interaction.isUserSelectMenu()) {
    const names = interaction.users.map((user) => [user.id, interaction.members.get(user.id)?.user?.id === undefined ? user.displayName : (memberName(interaction.members.get(user.id)) ?? user.displayName)] as const);
    return { picked: interaction.values, pickedNames: Object.fromEntries(names) };
  }
  if (interaction.isRoleSelectMenu()) return { picked: interaction.values, pickedNames: Object.fromEntries(interaction.roles.map((role) => [role.id, role.name])) };
  if (!interaction.isChannelSelectMenu()) return {};
  const names = interaction.channels.map((place) => [`c.${place.id}`, 'name' in place && place.name ? `#${place.name}` : ''] as const);
  return { picked: interaction.values.map((id) => `c.${id}`), pickedNames: Object.fromEntries(names) };
};

const memberName = (member: unknown): string | undefined => {
  const { displayName, nick } = (member ?? {}) as { readonly displayName?: string; readonly nick?: string | null };
  return displayName ?? nick ?? undefined;
};

export const pressFrom = (interaction: MessageComponentInteraction, press: Press): Incoming => ({ ...commonOf(interaction), kind: 'press', press, on: interaction.message.id, ...picksOf(interaction) });

export const answersFrom = (interaction: ModalSubmitInteraction, press: Press): Incoming => {
  const { answers, attachments } = filledIn(interaction);
  return { ...commonOf(interaction), kind: 'answers', press, answers, ...(interaction.isFromMessage() ? { on: interaction.message.id } : {}), ...(attachments.length > 0 ? { attachments } : {}) };
};

export const commandFrom = (interaction: ChatInputCommandInteraction, { name, given }: Named): Incoming => {
  const filled = interaction.options.data.flatMap(({ name: option, value }) => (value === undefined ? [] : [given(option, String(value))]));
  return { ...commonOf(interaction), kind: 'command', name, given: Object.fromEntries(filled) };
};

export const longPressFrom = (interaction: MessageContextMenuCommandInteraction, name: string): Incoming => ({ ...commonOf(interaction), kind: 'command', name, given: {}, on: interaction.targetId });

/** Half-typed: what is being typed, and where. */
export const typingFrom = (interaction: AutocompleteInteraction): Common & { readonly command: string; readonly typed: string } => ({ ...commonOf(interaction), command: interaction.commandName, typed: interaction.options.getFocused() });
