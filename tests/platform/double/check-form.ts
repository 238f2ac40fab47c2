import { checkGroup, checkSelect, KIND, list, optional, repeatedIds, SELECTS, text, within, type Part } from './check-components.ts';
import { refuseForm, type FormError } from './refusal.ts';

const number = (value: unknown, fallback: number): number => (typeof value === 'number' ? value : fallback);

function checkWords(path: string, part: Part, inLabel: boolean): FormError[] {
  const least = number(part['min_length'], 0);
  const most = number(part['max_length'], 4000);
  const value = text(part['value']);
  return [
    ...within(`${path}.custom_id`, part['custom_id'], 1, 100),
    ...optional(`${path}.placeholder`, part['placeholder'], 100),
    ...(inLabel ? [] : within(`${path}.label`, part['label'], 1, 45)),
    ...(inLabel && part['label'] ? [{ path: `${path}.label`, message: 'Not allowed inside a label.' }] : []),
    ...(least < 0 || least > 4000 || most < 1 || most > 4000 || least > most ? [{ path: `${path}.max_length`, message: 'Out of bounds.' }] : []),
    ...(value.length > most ? [{ path: `${path}.value`, message: `Must be ${most} or fewer in length.` }] : []),
    ...(value !== '' && value.length < least ? [{ path: `${path}.value`, message: `Must be at least ${least} in length.` }] : []),
  ];
}

function checkUpload(path: string, part: Part): FormError[] {
  const least = number(part['min_values'], 1);
  const most = number(part['max_values'], 1);
  const bad = least < 0 || most > 10 || least > most || (part['required'] !== false && part['min_values'] === 0);
  return [...within(`${path}.custom_id`, part['custom_id'], 1, 100), ...(bad ? [{ path: `${path}.min_values`, message: 'Out of bounds.' }] : [])];
}

function checkLabelled(path: string, part: Part | undefined): FormError[] {
  if (part?.['type'] === KIND.words) return checkWords(path, part, true);
  if (part?.['type'] === KIND.upload) return checkUpload(path, part);
  if (part?.['type'] === KIND.radios) return checkGroup(path, part, 2);
  if (part?.['type'] === KIND.boxes) return checkGroup(path, part, 1);
  if (part?.['type'] === KIND.box) return within(`${path}.custom_id`, part['custom_id'], 1, 100);
  if (part && SELECTS.includes(part['type'])) return checkSelect(path, part, 'form');
  return [{ path, message: 'A label wraps exactly one field.' }];
}

function checkTop(path: string, part: Part): FormError[] {
  if (part['type'] === KIND.text) return [];
  if (part['type'] === KIND.label) {
    return [
      ...within(`${path}.label`, part['label'], 1, 45),
      ...optional(`${path}.description`, part['description'], 100),
      ...checkLabelled(`${path}.component`, part['component'] as Part | undefined),
    ];
  }
  if (part['type'] === KIND.row) return list(part['components']).flatMap((inner, i) => checkWords(`${path}.components.${i}`, inner, false));
  return [{ path: `${path}.type`, message: 'Only labels and texts are allowed here.' }];
}

/** Refuses a form the platform would not open. */
export function checkForm(form: Part): void {
  const parts = list(form['components']);
  refuseForm([
    ...within('data.custom_id', form['custom_id'], 1, 100),
    ...within('data.title', form['title'], 1, 45),
    ...(parts.length < 1 || parts.length > 5 ? [{ path: 'data.components', message: 'Must be between 1 and 5 in length.' }] : []),
    ...parts.flatMap((part, i) => checkTop(`data.components.${i}`, part)),
    ...repeatedIds(parts, 'data.components'),
  ]);
}
