import type { FormError } from './refusal.ts';

/** A component as it came over the wire; every field is looked at before it is believed. */
export type Part = Readonly<Record<string, unknown>>;
export const KIND = {
  row: 1, button: 2, words: 4, text: 10, section: 9, thumbnail: 11, gallery: 12, file: 13, separator: 14, container: 17,
  label: 18, upload: 19, radios: 21, boxes: 22, box: 23,
} as const;
export const SELECTS: readonly unknown[] = [3, 5, 6, 7, 8];
/** Flag of a message laid out with the newer components. */
export const V2 = 1 << 15;

export const list = (value: unknown): readonly Part[] => (Array.isArray(value) ? (value as readonly Part[]) : []);
export const text = (value: unknown): string => (typeof value === 'string' ? value : '');
/** An id, a type, a value: what the wire may write as text or as a number. */
export const key = (value: unknown): string => (typeof value === 'string' || typeof value === 'number' ? `${value}` : '');

/** Length is counted in UTF-16 units: what passes this passes any other way of counting. */
export function within(path: string, value: unknown, least: number, most: number): FormError[] {
  const length = text(value).length;
  return length < least || length > most ? [{ path, message: `Must be between ${least} and ${most} in length.` }] : [];
}
export const optional = (path: string, value: unknown, most: number): FormError[] =>
  value === undefined || value === null ? [] : within(path, value, 0, most);
const wrong = (path: string, message: string, when: boolean): FormError[] => (when ? [{ path, message }] : []);

/** Every component below `parts`, in reading order, with its path. */
export function walk(parts: readonly Part[], path = 'components'): (readonly [string, Part])[] {
  return parts.flatMap((part, i) => {
    const here = `${path}.${i}`;
    const accessory = part['accessory'] as Part | undefined;
    const inner = part['component'] as Part | undefined;
    return [
      [here, part] as const,
      ...walk(list(part['components']), `${here}.components`),
      ...(accessory ? [[`${here}.accessory`, accessory] as const] : []),
      ...(inner ? [[`${here}.component`, inner] as const] : []),
    ];
  });
}

function checkButton(path: string, part: Part): FormError[] {
  const link = part['style'] === 5;
  return [
    ...wrong(`${path}.label`, 'A button must have a label or an emoji.', !part['label'] && !part['emoji']),
    ...optional(`${path}.label`, part['label'], 80),
    ...(link ? within(`${path}.url`, part['url'], 1, 512) : within(`${path}.custom_id`, part['custom_id'], 1, 100)),
    ...wrong(path, 'A custom id and url cannot both be specified', Boolean(part['custom_id']) && Boolean(part['url'])),
  ];
}

function checkOptions(path: string, part: Part, least: number, most: number): FormError[] {
  const options = list(part['options']);
  const values = options.map((option) => option['value']);
  return [
    ...wrong(`${path}.options`, `Must be between ${least} and ${most} in length.`, options.length < least || options.length > most),
    ...wrong(`${path}.options`, 'The specified option value is already used', new Set(values).size < values.length),
    ...options.flatMap((option, i) => [
      ...within(`${path}.options.${i}.label`, option['label'], 1, 100),
      ...within(`${path}.options.${i}.value`, option['value'], 1, 100),
      ...optional(`${path}.options.${i}.description`, option['description'], 100),
    ]),
  ];
}

export function checkSelect(path: string, part: Part, place: 'message' | 'form'): FormError[] {
  const least = Number(part['min_values'] ?? 1);
  const most = Number(part['max_values'] ?? 1);
  const chosen = list(part['options']).filter((option) => option['default'] === true).length;
  return [
    ...within(`${path}.custom_id`, part['custom_id'], 1, 100),
    ...optional(`${path}.placeholder`, part['placeholder'], 150),
    ...(part['type'] === 3 ? checkOptions(path, part, 1, 25) : []),
    ...wrong(`${path}.max_values`, 'Must be between 1 and 25, and no less than min_values.', most < 1 || most > 25 || least > most || least < 0),
    ...wrong(`${path}.max_values`, 'Must be no more than the number of options.', part['type'] === 3 && most > list(part['options']).length),
    ...wrong(`${path}.options`, 'Too many options chosen beforehand.', chosen > most),
    ...wrong(`${path}.min_values`, 'Must be at least 1 when the select is required.', place === 'form' && part['required'] !== false && part['min_values'] === 0),
    ...wrong(`${path}.disabled`, 'A form cannot hold a disabled select.', place === 'form' && part['disabled'] === true),
  ];
}

export const checkGroup = (path: string, part: Part, least: number): FormError[] => [
  ...within(`${path}.custom_id`, part['custom_id'], 1, 100),
  ...checkOptions(path, part, least, 10),
];

function checkRow(path: string, part: Part): FormError[] {
  const parts = list(part['components']);
  const selects = parts.filter((inner) => SELECTS.includes(inner['type'])).length;
  const most = selects > 0 ? 1 : 5;
  return wrong(`${path}.components`, 'A row holds up to five buttons or one select.', parts.length < 1 || parts.length > most);
}

export function repeatedIds(parts: readonly Part[], path = 'components'): FormError[] {
  const seen = new Set<unknown>();
  return walk(parts, path).flatMap(([at, part]) => {
    const id = part['custom_id'];
    if (id === undefined || id === null) return [];
    const again = seen.has(id);
    seen.add(id);
    return wrong(`${at}.custom_id`, 'Component custom id cannot be duplicated', again);
  });
}

function checkNewLayout(parts: readonly Part[]): FormError[] {
  const all = walk(parts);
  const words = all.filter(([, part]) => part['type'] === KIND.text).reduce((sum, [, part]) => sum + text(part['content']).length, 0);
  return [
    ...wrong('components', 'Must hold between 1 and 40 components in total.', all.length < 1 || all.length > 40),
    ...wrong('components', 'Must be 4000 or fewer characters of text in total.', words > 4000),
    ...all.flatMap(([path, part]) =>
      part['type'] === KIND.section
        ? wrong(path, 'A section holds one to three texts and an accessory.', list(part['components']).length < 1 || list(part['components']).length > 3 || !part['accessory'])
        : [],
    ),
  ];
}

/** All there is to say against the components of a message. */
export function checkComponents(parts: readonly Part[], flags: number): FormError[] {
  const newer = (flags & V2) !== 0;
  return [
    ...wrong('components', 'Must be 5 or fewer in length.', !newer && parts.length > 5),
    ...parts.flatMap((part, i) => wrong(`components.${i}`, 'Only rows are allowed here.', !newer && part['type'] !== KIND.row)),
    ...(newer ? checkNewLayout(parts) : []),
    ...walk(parts).flatMap(([path, part]) => {
      if (part['type'] === KIND.row) return checkRow(path, part);
      if (part['type'] === KIND.button) return checkButton(path, part);
      return SELECTS.includes(part['type']) ? checkSelect(path, part, 'message') : [];
    }),
    ...repeatedIds(parts),
  ];
}
