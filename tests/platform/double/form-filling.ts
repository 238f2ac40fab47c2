import { KIND, list, SELECTS, text, type Part } from './check-components.ts';
import type { OpenForm } from './journal.ts';
import type { Wire } from './wire-places.ts';
import type { Attachment } from './world.ts';

export type FileGiven = { readonly name: string; readonly bytes: Uint8Array; readonly type?: string };
/** Keyed by a field's custom id or by the label above it. A field left out keeps what it shows. */
export type Answers = Readonly<Record<string, string | readonly string[] | boolean | readonly FileGiven[]>>;
export type Filled = { readonly components: readonly Wire[]; readonly ids: readonly string[]; readonly files: readonly Attachment[] };
type Keep = (file: FileGiven) => Attachment;

const wanted = (part: Part): boolean => part['required'] !== false;
const stop = (label: string, why: string): never => {
  throw new Error(`the form would not be sent: "${label}" ${why}`);
};

function words(part: Part, label: string, given: unknown): Wire {
  const value = given === undefined ? text(part['value']) : text(given);
  if (value === '' && wanted(part)) stop(label, 'is empty');
  if (value.length > Number(part['max_length'] ?? 4000)) stop(label, 'is too long');
  if (value !== '' && value.length < Number(part['min_length'] ?? 0)) stop(label, 'is too short');
  return { value };
}

/** Options may be named by value or by what is written on them. */
export function chosenValues(part: Part, given: readonly string[]): string[] {
  return given.map((one) => {
    const option = list(part['options']).find((each) => each['value'] === one || each['label'] === one);
    if (!option) throw new Error(`there is no option "${one}" among ${list(part['options']).map((each) => text(each['label'])).join(', ')}`);
    return text(option['value']);
  });
}

const before = (part: Part): string[] => list(part['options']).filter((option) => option['default'] === true).map((option) => text(option['value']));

function picks(part: Part, label: string, given: unknown): string[] {
  const named = given === undefined ? undefined : typeof given === 'string' ? [given] : (given as readonly string[]);
  const values = named === undefined ? before(part) : part['options'] === undefined ? [...named] : chosenValues(part, named);
  const most = part['type'] === KIND.boxes ? Number(part['max_values'] ?? list(part['options']).length) : Number(part['max_values'] ?? 1);
  const least = Number(part['min_values'] ?? 1);
  if (values.length === 0 && wanted(part)) stop(label, 'has nothing chosen');
  if (values.length > most || (values.length > 0 && values.length < least)) stop(label, `takes ${least} to ${most}`);
  return values;
}

function uploaded(part: Part, label: string, given: unknown, keep: Keep): Attachment[] {
  const files = ((given ?? []) as readonly FileGiven[]).map(keep);
  if (files.length < (wanted(part) ? Number(part['min_values'] ?? 1) : 0) || files.length > Number(part['max_values'] ?? 1)) stop(label, 'has too few or too many files');
  return files;
}

function fill(part: Part, label: string, answers: Answers, keep: Keep): { wire: Wire; ids: string[]; files: Attachment[] } {
  const given = answers[text(part['custom_id'])] ?? answers[label];
  const head = { type: part['type'], id: part['id'], custom_id: part['custom_id'] };
  if (part['type'] === KIND.words) return { wire: { ...head, ...words(part, label, given) }, ids: [], files: [] };
  if (part['type'] === KIND.box) return { wire: { ...head, value: given ?? part['default'] ?? false }, ids: [], files: [] };
  if (part['type'] === KIND.upload) {
    const files = uploaded(part, label, given, keep);
    return { wire: { ...head, values: files.map((file) => file.id) }, ids: [], files };
  }
  const values = picks(part, label, given);
  if (part['type'] === KIND.radios) return { wire: { ...head, value: values[0] ?? null }, ids: [], files: [] };
  return { wire: { ...head, values }, ids: SELECTS.includes(part['type']) ? values : [], files: [] };
}

/** The form as it is sent; refuses to send what a telephone would refuse to send. */
export function fillForm(form: OpenForm, answers: Answers, keep: Keep): Filled {
  const ids: string[] = [];
  const files: Attachment[] = [];
  const known = new Set<string>();
  const one = (part: Part, label: string): Wire => {
    known.add(text(part['custom_id'])).add(label);
    const filled = fill(part, label, answers, keep);
    ids.push(...filled.ids);
    files.push(...filled.files);
    return filled.wire;
  };
  const components = form.components.map((part): Wire => {
    const head = { type: part['type'], id: part['id'] };
    if (part['type'] === KIND.label) return { ...head, component: one(part['component'] as Part, text(part['label'])) };
    if (part['type'] === KIND.row) return { ...head, components: list(part['components']).map((inner) => one(inner, text(inner['label']))) };
    return head;
  });
  const stray = Object.keys(answers).find((key) => !known.has(key));
  if (stray !== undefined) throw new Error(`the form "${form.title}" has no field "${stray}"`);
  return { components, ids, files };
}
