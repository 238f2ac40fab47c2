import { KIND, list, SELECTS, text, walk, type Part } from './check-components.ts';
import type { Message } from './world.ts';

const parts = (message: Message): (readonly [string, Part])[] => walk(message.components as unknown as readonly Part[]);
const embedWords = (message: Message): string[] =>
  message.embeds.flatMap((embed) => [embed.title, embed.description, ...(embed.fields ?? []).flatMap((field) => [field.name, field.value]), embed.footer?.text].filter((one) => one !== undefined));

/** Everything there is to read, top to bottom, without the labels. */
export const wordsOf = (message: Message): string =>
  [message.content, ...embedWords(message), ...parts(message).flatMap(([, part]) => (part['type'] === KIND.text ? [text(part['content'])] : []))].filter((one) => one !== '').join('\n');

export const buttonsOf = (message: Message): Part[] => parts(message).flatMap(([, part]) => (part['type'] === KIND.button ? [part] : []));
export const selectsOf = (message: Message): Part[] => parts(message).flatMap(([, part]) => (SELECTS.includes(part['type']) ? [part] : []));
export const labelsOf = (message: Message): string[] => buttonsOf(message).map((button) => text(button['label']));
export const optionsOf = (select: Part): string[] => list(select['options']).map((option) => text(option['label']));

/** The button with that label or custom id, as a finger finds it. */
export function buttonNamed(message: Message, name: string): Part {
  const found = buttonsOf(message).find((button) => button['label'] === name || button['custom_id'] === name);
  if (!found) throw new Error(`no button "${name}" among ${labelsOf(message).join(', ') || 'none'}`);
  if (found['disabled'] === true) throw new Error(`the button "${name}" is off`);
  if (found['style'] === 5) throw new Error(`the button "${name}" is a link`);
  return found;
}

/** The select with that custom id or placeholder; with no name the only one there is. */
export function selectNamed(message: Message, name?: string): Part {
  const all = selectsOf(message);
  const found = name === undefined ? all : all.filter((select) => select['custom_id'] === name || select['placeholder'] === name);
  const only = found[0];
  if (!only || found.length > 1) throw new Error(`${found.length} selects fit "${name ?? 'any'}"`);
  if (only['disabled'] === true) throw new Error('that select is off');
  return only;
}
