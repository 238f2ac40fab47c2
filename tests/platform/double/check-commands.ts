import { key, list, optional, text, within, type Part } from './check-components.ts';
import { refuseForm, type FormError } from './refusal.ts';

/** Name of a slash command and of an option, from the platform's page on application commands. */
const SLASH_NAME = /^[-_'\p{L}\p{N}\p{sc=Deva}\p{sc=Thai}]{1,32}$/u;
const CAPS: Readonly<Record<number, number>> = { 1: 100, 2: 15, 3: 15 };

function checkName(path: string, name: unknown): FormError[] {
  const fine = SLASH_NAME.test(text(name)) && text(name) === text(name).toLowerCase();
  return fine ? [] : [{ path, message: 'Application command name is invalid' }];
}

const localised = (path: string, names: unknown): FormError[] =>
  Object.entries((names ?? {}) as Record<string, unknown>).flatMap(([locale, name]) => checkName(`${path}.${locale}`, name));

function checkOption(path: string, option: Part): FormError[] {
  const choices = list(option['choices']);
  return [
    ...checkName(`${path}.name`, option['name']),
    ...localised(`${path}.name_localizations`, option['name_localizations']),
    ...within(`${path}.description`, option['description'], 1, 100),
    ...(choices.length > 25 ? [{ path: `${path}.choices`, message: 'Must be 25 or fewer in length.' }] : []),
    ...choices.flatMap((choice, i) => [
      ...within(`${path}.choices.${i}.name`, choice['name'], 1, 100),
      ...optional(`${path}.choices.${i}.value`, choice['value'], 100),
    ]),
    ...(choices.length > 0 && option['autocomplete'] ? [{ path, message: 'Choices and autocomplete exclude each other.' }] : []),
    ...checkOptions(`${path}.options`, option),
  ];
}

function checkOptions(path: string, holder: Part): FormError[] {
  const options = list(holder['options']);
  const names = options.map((option) => option['name']);
  const firstOptional = options.findIndex((option) => option['required'] !== true);
  const late = firstOptional >= 0 && options.slice(firstOptional).some((option) => option['required'] === true);
  return [
    ...(options.length > 25 ? [{ path, message: 'Must be 25 or fewer in length.' }] : []),
    ...(new Set(names).size < names.length ? [{ path, message: 'Option names must be unique.' }] : []),
    ...(late ? [{ path, message: 'Required options must be placed before non-required options' }] : []),
    ...options.flatMap((option, i) => checkOption(`${path}.${i}`, option)),
  ];
}

const longest = (plain: unknown, others: unknown): number =>
  Math.max(text(plain).length, ...Object.values((others ?? {}) as Record<string, unknown>).map((other) => text(other).length));

/** Names, descriptions and values together; the longest translation counts. */
function weight(part: Part): number {
  const own = longest(part['name'], part['name_localizations']) + longest(part['description'], part['description_localizations']);
  const value = text(part['value']).length;
  return own + value + [...list(part['options']), ...list(part['choices'])].reduce((sum, inner) => sum + weight(inner), 0);
}

function checkOne(path: string, command: Part): FormError[] {
  const slash = (command['type'] ?? 1) === 1;
  return [
    ...(slash ? checkName(`${path}.name`, command['name']) : within(`${path}.name`, command['name'], 1, 32)),
    ...(slash ? localised(`${path}.name_localizations`, command['name_localizations']) : []),
    ...(slash ? within(`${path}.description`, command['description'], 1, 100) : []),
    ...(!slash && command['description'] ? [{ path: `${path}.description`, message: 'Context menu commands have no description.' }] : []),
    ...(weight(command) > 8000 ? [{ path, message: 'Command exceeds maximum size of 8000' }] : []),
    ...checkOptions(`${path}.options`, command),
  ];
}

/** Refuses a set of commands that the platform would not register. */
export function checkCommands(commands: readonly Part[]): void {
  const keys = commands.map((command) => `${key(command['type'] ?? 1)} ${text(command['name'])}`);
  const crowded = [1, 2, 3].filter((type) => commands.filter((c) => (c['type'] ?? 1) === type).length > (CAPS[type] ?? 0));
  refuseForm([
    ...crowded.map((type) => ({ path: 'commands', message: `Maximum number of application commands of type ${type} reached` })),
    ...(new Set(keys).size < keys.length ? [{ path: 'commands', message: 'Application command names must be unique' }] : []),
    ...commands.flatMap((command, i) => checkOne(`${i}`, command)),
  ]);
}
