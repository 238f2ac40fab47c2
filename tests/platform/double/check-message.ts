import type { APIAllowedMentions, APIEmbed } from 'discord.js';
import { checkAllowed } from './mentions.ts';
import { checkComponents, optional, V2, within, type Part } from './check-components.ts';
import { refusals, refuseForm, type FormError } from './refusal.ts';
import type { Attachment } from './world.ts';

/** What a bot may put in a message, as it stands after a create or an edit. */
export type Written = {
  readonly content: string;
  readonly embeds: readonly APIEmbed[];
  readonly components: readonly Part[];
  readonly attachments: readonly Attachment[];
  readonly flags: number;
  readonly allowed?: APIAllowedMentions | null;
  readonly nonce?: unknown;
};
const FILE_MOST = 10 * 1024 * 1024;

const embedText = (embed: APIEmbed): number =>
  [embed.title, embed.description, embed.footer?.text, embed.author?.name, ...(embed.fields ?? []).flatMap((field) => [field.name, field.value])]
    .reduce((sum, part) => sum + (part?.length ?? 0), 0);

function checkEmbed(embed: APIEmbed, at: string): FormError[] {
  const fields = embed.fields ?? [];
  return [
    ...optional(`${at}.title`, embed.title, 256),
    ...optional(`${at}.description`, embed.description, 4096),
    ...optional(`${at}.footer.text`, embed.footer?.text, 2048),
    ...optional(`${at}.author.name`, embed.author?.name, 256),
    ...(fields.length > 25 ? [{ path: `${at}.fields`, message: 'Must be 25 or fewer in length.' }] : []),
    ...fields.flatMap((field, i) => [
      ...within(`${at}.fields.${i}.name`, field.name, 1, 256),
      ...within(`${at}.fields.${i}.value`, field.value, 1, 1024),
    ]),
  ];
}

function checkEmbeds(embeds: readonly APIEmbed[]): FormError[] {
  const total = embeds.reduce((sum, embed) => sum + embedText(embed), 0);
  return [
    ...(embeds.length > 10 ? [{ path: 'embeds', message: 'Must be 10 or fewer in length.' }] : []),
    ...(total > 6000 ? [{ path: 'embeds', message: 'Embed size exceeds maximum size of 6000' }] : []),
    ...embeds.flatMap((embed, i) => checkEmbed(embed, `embeds.${i}`)),
  ];
}

function checkFiles(files: readonly Attachment[]): FormError[] {
  return [
    ...(files.length > 10 ? [{ path: 'attachments', message: 'Must be 10 or fewer in length.' }] : []),
    ...files.flatMap((file, i) => optional(`attachments.${i}.description`, file.description, 1024)),
  ];
}

const checkNonce = (nonce: unknown): FormError[] =>
  typeof nonce === 'string' ? within('nonce', nonce, 1, 25) : [];

/** Refuses what the platform would refuse: 40005, 50035 with every field at fault, 50006. */
export function checkMessage(written: Written): void {
  if (written.attachments.some((file) => file.bytes.length > FILE_MOST)) throw refusals.tooLarge();
  const newer = (written.flags & V2) !== 0;
  const old = written.content !== '' || written.embeds.length > 0;
  refuseForm([
    ...within('content', written.content, 0, 2000),
    ...checkEmbeds(written.embeds),
    ...checkComponents(written.components, written.flags),
    ...checkFiles(written.attachments),
    ...checkNonce(written.nonce),
    ...checkAllowed(written.allowed),
    ...(newer && old ? [{ path: 'content', message: 'The newer components leave no room for content or embeds.' }] : []),
  ]);
  if (!old && written.components.length === 0 && written.attachments.length === 0) throw refusals.empty();
}
