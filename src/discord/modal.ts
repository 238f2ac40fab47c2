import { ComponentType, TextInputStyle, type APIComponentInLabel, type APIModalInteractionResponseCallbackData, type ModalSubmitInteraction } from 'discord.js';
import type { Attachment } from '../chat/incoming.ts';
import type { Form, Question } from '../chat/message.ts';
import { decodePress, encodePress, type Press } from '../chat/press.ts';
import { attachmentsOf } from './attachments.ts';
import { entriesOf } from './render.ts';

const MOST = 100;
const MOST_PHOTOS = 10;

const fieldOf = ({ key, answer, optional }: Question): APIComponentInLabel => {
  const required = optional !== true;
  const least = { min_values: required ? 1 : 0 };
  switch (answer.kind) {
    case 'words': {
      const now = answer.now === undefined || answer.now === '' ? {} : { value: answer.now.slice(0, answer.most) };
      return { type: ComponentType.TextInput, custom_id: key, style: answer.long ? TextInputStyle.Paragraph : TextInputStyle.Short, required, max_length: answer.most, ...now };
    }
    case 'pick':
      return pickOf(key, answer.from, { ...least, max_values: answer.most, required });
    case 'photos':
      return { type: ComponentType.FileUpload, custom_id: key, required, ...least, max_values: Math.min(answer.most, MOST_PHOTOS) };
  }
};

type Bounds = { readonly min_values: number; readonly max_values: number; readonly required: boolean };

const pickOf = (key: string, from: Extract<Question['answer'], { kind: 'pick' }>['from'], bounds: Bounds): APIComponentInLabel => {
  const common = { custom_id: key, ...bounds };
  if (from === 'people') return { type: ComponentType.UserSelect, ...common };
  if (from === 'roles') return { type: ComponentType.RoleSelect, ...common };
  if (from === 'places') return { type: ComponentType.ChannelSelect, ...common };
  return { type: ComponentType.StringSelect, ...common, max_values: Math.min(bounds.max_values, from.length), options: entriesOf(from) };
};

/**
 * A form as the platform opens it. `tail` makes its id new every time: telephones otherwise show the answers typed
 * into an earlier form of the same id.
 */
export const modalOf = (form: Form, tail: string): APIModalInteractionResponseCallbackData => {
  const press = encodePress(form.submit);
  const room = Math.max(0, MOST - press.length - 1);
  return {
    custom_id: room === 0 ? press : `${press}|${tail.slice(0, Math.min(room, 6))}`,
    title: form.title,
    components: form.questions.map((question) => ({ type: ComponentType.Label, label: question.label, ...(question.hint ? { description: question.hint } : {}), component: fieldOf(question) })),
  };
};

/** What a form sent means; undefined for one this version did not open. */
export const pressOfModal = (customId: string): Press | undefined => decodePress(customId.replace(/\|[^|~]*$/, ''));

export type Filled = { readonly answers: Readonly<Record<string, readonly string[]>>; readonly attachments: readonly Attachment[] };

/** The answers of a form, by question. Places come with the mark of a place before their id. */
export const filledIn = ({ fields }: ModalSubmitInteraction): Filled => {
  const attachments: Attachment[] = [];
  const answers = [...fields.fields.values()].map((field): readonly [string, readonly string[]] => {
    switch (field.type) {
      case ComponentType.TextInput:
        return [field.customId, field.value.trim() === '' ? [] : [field.value]];
      case ComponentType.ChannelSelect:
        return [field.customId, field.values.map((id) => `c.${id}`)];
      case ComponentType.StringSelect:
      case ComponentType.UserSelect:
      case ComponentType.RoleSelect:
      case ComponentType.MentionableSelect:
        return [field.customId, [...field.values]];
      case ComponentType.FileUpload: {
        const photos = attachmentsOf([...(field.attachments?.values() ?? [])]);
        attachments.push(...photos);
        return [field.customId, photos.map(({ name }) => name)];
      }
      default:
        return [field.customId, []];
    }
  });
  return { answers: Object.fromEntries(answers), attachments };
};
