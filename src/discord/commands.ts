import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import {
  ApplicationCommandOptionType, ApplicationCommandType, ApplicationIntegrationType, InteractionContextType, Locale, Routes,
  type APIApplicationCommandBasicOption, type LocalizationMap, type REST, type RESTPostAPIApplicationCommandsJSONBody,
} from 'discord.js';
import { parse } from 'yaml';
import { z } from 'zod';
import type { Store } from '../store/store.ts';
import type { Words } from '../words/catalogue.ts';
import { isChosen, jobOfChoice } from './choices.ts';
import type { Named } from './asked.ts';
import { keepNote, noteOf } from './notes.ts';

const schema = z.array(
  z.strictObject({
    name: z.string().regex(/^[a-z-]{1,32}$/),
    direct: z.boolean().default(false),
    on: z.literal('message').optional(),
    options: z.array(z.strictObject({ key: z.string(), choices: z.literal('open-jobs').optional() })).default([]),
  }),
);
export type CommandPlan = z.infer<typeof schema>[number];

/** Throws, naming the file, when it holds anything else than commands. */
export const readCommands = (path: string): readonly CommandPlan[] => {
  const parsed = schema.safeParse(parse(readFileSync(path, 'utf8')));
  if (!parsed.success) throw new Error(`${path}: ${z.prettifyError(parsed.error)}. Correct it or restore it.`);
  return parsed.data;
};

/** Languages of ours by the platform's names for them; one with several regions goes to each. */
const REGIONS: Readonly<Record<string, readonly Locale[]>> = {
  en: [Locale.EnglishGB, Locale.EnglishUS], es: [Locale.SpanishES, Locale.SpanishLATAM], pt: [Locale.PortugueseBR], sv: [Locale.Swedish], zh: [Locale.ChineseCN, Locale.ChineseTW],
};
const KNOWN: ReadonlySet<string> = new Set(Object.values(Locale));

export const localesOf = (language: string): readonly Locale[] => REGIONS[language] ?? (KNOWN.has(language) ? [language as Locale] : []);

/** A text in every language the platform knows of ours, the default among them. */
const inAll = (words: Words, key: string): LocalizationMap => Object.fromEntries(words.languages.flatMap((language) => localesOf(language).map((locale) => [locale, words.in(language)(key)])));

const named = (words: Words, key: string): { name: string; name_localizations: LocalizationMap } => ({ name: words.in('en')(`${key}.name`), name_localizations: inAll(words, `${key}.name`) });
const described = (words: Words, key: string): { description: string; description_localizations: LocalizationMap } => ({
  description: words.in('en')(`${key}.description`), description_localizations: inAll(words, `${key}.description`),
});

const optionOf = (words: Words, command: string, { key, choices }: CommandPlan['options'][number]): APIApplicationCommandBasicOption => {
  const at = `discord.command.${command}.${key}`;
  return { type: ApplicationCommandOptionType.String, ...named(words, at), ...described(words, at), required: false, ...(choices === undefined ? { max_length: 300 } : { autocomplete: true }) };
};

/**
 * Commands as the platform registers them. Everyone may see all of them: what somebody may do is decided by the bot on
 * every use, and each of them has an answer for everyone.
 */
export const commandBodies = (plans: readonly CommandPlan[], words: Words): RESTPostAPIApplicationCommandsJSONBody[] =>
  plans.map((plan) => {
    const at = `discord.command.${plan.name}`;
    const where = {
      integration_types: [ApplicationIntegrationType.GuildInstall],
      contexts: plan.direct ? [InteractionContextType.Guild, InteractionContextType.BotDM] : [InteractionContextType.Guild],
      default_member_permissions: null,
    };
    if (plan.on === 'message') return { type: ApplicationCommandType.Message, ...named(words, at), ...where };
    return { type: ApplicationCommandType.ChatInput, ...named(words, at), ...described(words, at), ...where, options: plan.options.map((option) => optionOf(words, plan.name, option)) };
  });

/** Finds our name for a command by the name it was registered under. */
export const commandNamed = (plans: readonly CommandPlan[], words: Words): ((shown: string) => Named | undefined) => {
  const bySurface = new Map(plans.map((plan) => [words.in('en')(`discord.command.${plan.name}.name`), plan]));
  return (shown) => {
    const plan = bySurface.get(shown);
    if (!plan) return undefined;
    const keys = new Map(plan.options.map(({ key }) => [words.in('en')(`discord.command.${plan.name}.${key}.name`), key]));
    return { name: plan.name, given: (option, value) => (isChosen(value) ? ['job', jobOfChoice(value)] : [keys.get(option) ?? option, value]) };
  };
};

const hashOf = (bodies: readonly unknown[], application: string): string => createHash('sha256').update(JSON.stringify([application, bodies])).digest('hex');

/** Registers the commands when they are not the ones registered last. True when it did. */
export const registerCommands = async (rest: REST, store: Store, application: string, bodies: readonly RESTPostAPIApplicationCommandsJSONBody[]): Promise<boolean> => {
  const hash = hashOf(bodies, application);
  if ((await noteOf(store, 'discord.commands')) === hash) return false;
  await rest.put(Routes.applicationCommands(application), { body: bodies });
  await keepNote(store, 'discord.commands', hash);
  return true;
};
