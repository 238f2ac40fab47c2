import { key, list, text, type Part } from './check-components.ts';
import type { FileGiven } from './form-filling.ts';
import { has } from './permissions.ts';
import type { Wire } from './wire-places.ts';
import type { Attachment, Channel, Command, World } from './world.ts';

export type Options = Readonly<Record<string, string | number | boolean | FileGiven>>;
export type Given = { readonly command: Command; readonly data: Wire; readonly ids: readonly string[]; readonly files: readonly Attachment[] };

function mayGive(world: World, channel: Channel, byId: string, command: Command): boolean {
  const contexts = command['contexts'] as readonly number[] | null;
  const needed = command['default_member_permissions'];
  const here = channel.guildId === undefined ? 1 : 0;
  if (Array.isArray(contexts) && !contexts.includes(here)) return false;
  return needed === null || needed === undefined || here === 1 || has(world, channel, byId, BigInt(key(needed)));
}

/** A command as `byId` finds it in the list; an error when it is not there to be given. */
export function findCommand(world: World, channel: Channel, byId: string, name: string, type: number): Command {
  const scopes = channel.guildId === undefined ? ['global'] : [channel.guildId, 'global'];
  const found = scopes.flatMap((scope) => world.commands.get(scope) ?? []).find((command) => command.name === name && command.type === type);
  if (!found) throw new Error(`no command "${name}" is registered here`);
  if (!mayGive(world, channel, byId, found)) throw new Error(`the command "${name}" is hidden from this person here`);
  return found;
}

function valueOf(option: Part, given: Options[string], keep: (file: FileGiven) => Attachment, ids: string[], files: Attachment[]): unknown {
  const type = Number(option['type']);
  if (typeof given === 'object') {
    const file = keep(given);
    files.push(file);
    return file.id;
  }
  if (type >= 6 && type <= 9) ids.push(String(given));
  const choices = list(option['choices']);
  const chosen = choices.find((choice) => choice['value'] === given || choice['name'] === given);
  if (choices.length > 0 && !chosen) throw new Error(`"${String(given)}" is no choice of ${text(option['name'])}`);
  return chosen?.['value'] ?? given;
}

/** Command words as typed, `record water`: the command, then its groups and subcommands. */
export function giveCommand(world: World, channel: Channel, byId: string, words: string, options: Options, keep: (file: FileGiven) => Attachment, focused?: string): Given {
  const [name = '', ...subs] = words.replace(/^\//, '').split(' ');
  const command = findCommand(world, channel, byId, name, 1);
  const ids: string[] = [];
  const files: Attachment[] = [];
  const fill = (holder: Part, rest: readonly string[]): Wire[] => {
    const [next, ...further] = rest;
    if (next !== undefined) {
      const sub = list(holder['options']).find((option) => option['name'] === next && Number(option['type']) <= 2);
      if (!sub) throw new Error(`"${words}" is not a command`);
      return [{ name: next, type: sub['type'], options: fill(sub, further) }];
    }
    return fillOptions(holder, options, focused, (option, given) => valueOf(option, given, keep, ids, files));
  };
  const filled = fill(command, subs);
  const data = { id: command.id, name: command.name, type: 1, options: filled, ...(command.guildId === undefined ? {} : { guild_id: command.guildId }) };
  return { command, data, ids, files };
}

function fillOptions(holder: Part, options: Options, focused: string | undefined, value: (option: Part, given: Options[string]) => unknown): Wire[] {
  const known = list(holder['options']);
  const stray = Object.keys(options).find((key) => !known.some((option) => option['name'] === key));
  if (stray !== undefined) throw new Error(`"${text(holder['name'])}" has no option "${stray}"`);
  return known.flatMap((option) => {
    const given = options[text(option['name'])];
    if (given === undefined && option['required'] === true && focused === undefined) throw new Error(`option "${text(option['name'])}" is required`);
    if (given === undefined) return [];
    return [{ name: option['name'], type: option['type'], value: value(option, given), ...(option['name'] === focused ? { focused: true } : {}) }];
  });
}
