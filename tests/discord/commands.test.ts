import { afterEach, describe, expect, test } from 'vitest';
import { createWords, type Texts } from '../../src/words/catalogue.ts';
import { commandBodies, commandNamed, localesOf, registerCommands } from '../../src/discord/commands.ts';
import { inviteLink, LEAST_PERMISSIONS } from '../../src/discord/invite.ts';
import { createRests } from '../../src/discord/rests.ts';
import { checkCommands } from '../platform/double/check-commands.ts';
import type { Part } from '../platform/double/check-components.ts';
import { may } from '../platform/double/permissions.ts';
import { closeBenches, commands, config, openBench } from './bench.ts';

afterEach(closeBenches);

/** The texts there are, and made-up Spanish ones beside them. */
const bilingual = createWords(
  new Map<string, Texts>([
    ['en', new Map(commands.flatMap(({ name, options }) => [[`discord.command.${name}.name`, config.words.in('en')(`discord.command.${name}.name`)], [`discord.command.${name}.description`, 'x'], ...options.flatMap(({ key }) => [[`discord.command.${name}.${key}.name`, 'job'], [`discord.command.${name}.${key}.description`, 'x']])] as [string, string][]))],
    ['es', new Map([['discord.command.today.name', 'hoy'], ['discord.command.today.description', 'Qué toca hoy'], ['discord.command.done.text.name', 'tarea'], ['discord.command.mark-done.name', 'Hecho']])],
  ]),
);
const named = (bodies: ReturnType<typeof commandBodies>, name: string) => bodies.find((body) => body.name === name) as Readonly<Record<string, unknown>> | undefined;

describe('commands', () => {
  test('are those people know: twelve typed ones and one by long press', () => {
    const bodies = commandBodies(commands, config.words);
    expect(bodies.map(({ name }) => name)).toEqual(['cafe', 'today', 'done', 'problem', 'danger', 'look', 'card', 'visits', 'record', 'verdicts', 'mydata', 'help', 'Mark done']);
    expect(bodies.map(({ type }) => type)).toEqual([...Array.from({ length: 12 }, () => 1), 3]);
  });

  test('keep the rules of the platform in every language there is', () => {
    for (const words of [config.words, bilingual]) expect(() => checkCommands(commandBodies(commands, words) as unknown as readonly Part[])).not.toThrow();
  });

  test('carry their names in every language there is, the default among them, and English where one is missing', () => {
    const bodies = commandBodies(commands, bilingual);
    expect(named(bodies, 'today')?.['name_localizations']).toEqual({ 'en-GB': 'today', 'en-US': 'today', 'es-ES': 'hoy', 'es-419': 'hoy' });
    expect(named(bodies, 'verdicts')?.['name_localizations']).toEqual({ 'en-GB': 'verdicts', 'en-US': 'verdicts', 'es-ES': 'verdicts', 'es-419': 'verdicts' });
    expect(named(bodies, 'Mark done')?.['name_localizations']).toMatchObject({ 'es-ES': 'Hecho' });
    expect(named(bodies, 'done')?.['options']).toMatchObject([{ name: 'job', name_localizations: { 'es-ES': 'tarea' }, autocomplete: true, required: false }]);
  });

  test('Italian: the names its texts speak of, descriptions and the long press in its own words', () => {
    const bodies = commandBodies(commands, config.words);
    expect(named(bodies, 'today')?.['name_localizations']).toMatchObject({ it: 'today' });
    expect(named(bodies, 'today')?.['description_localizations']).toMatchObject({ it: "Cosa c'è da fare, cosa resta, cosa è a metà" });
    expect(named(bodies, 'Mark done')?.['name_localizations']).toMatchObject({ it: 'Segna fatto' });
  });

  test('a language the platform does not have is left out', () => {
    expect([localesOf('xx'), localesOf('it'), localesOf('en')]).toEqual([[], ['it'], ['en-GB', 'en-US']]);
  });

  test('every typed word of a command is found again under its own name', () => {
    const find = commandNamed(commands, config.words);
    expect(commands.map(({ name }) => find(config.words.in('en')(`discord.command.${name}.name`))?.name)).toEqual(commands.map(({ name }) => name));
    expect([find('problem')?.given('what', 'it drips'), find('done')?.given('job', 'job:abc'), find('unknown')]).toEqual([['text', 'it drips'], ['job', 'abc'], undefined]);
  });

  test('are seen by everyone and not only by managers: rights are checked on every use', () => {
    expect(new Set(commandBodies(commands, config.words).map((body) => body.default_member_permissions))).toEqual(new Set([null]));
  });

  test('are registered at start, again only when they changed', async () => {
    const bench = await openBench();
    expect(bench.double.sent('bulk_set_application_commands')).toHaveLength(1);
    const again = await bench.again();
    expect(again.double.sent('bulk_set_application_commands')).toHaveLength(1);
    const { rest, close } = createRests({ api: again.double.api, token: again.double.token, log: { info: () => undefined, warn: () => undefined } as never, onTokenRefused: () => undefined });
    expect(await registerCommands(rest, again.store, again.double.world.bot.applicationId, commandBodies(commands, bilingual))).toBe(true);
    expect(await registerCommands(rest, again.store, again.double.world.bot.applicationId, commandBodies(commands, bilingual))).toBe(false);
    close();
    expect(again.double.problems()).toEqual([]);
  });
});

describe('the invitation', () => {
  /** 309237763136: the sum of the eight rights, worked out by hand from the platform's table of permissions. */
  test('asks for the least rights and nothing beyond', () => {
    expect(LEAST_PERMISSIONS).toBe(1024n + 2048n + 274_877_906_944n + 34_359_738_368n + 16_384n + 32_768n + 65_536n + 64n);
    expect(LEAST_PERMISSIONS).toBe(309_237_763_136n);
    for (const right of ['Administrator', 'ManageGuild', 'ManageMessages', 'MentionEveryone', 'ManageRoles', 'ManageChannels', 'ManageThreads'] as const) expect(LEAST_PERMISSIONS & BigInt(may[right] ?? 0n)).toBe(0n);
  });

  test('is printed at start, with the number of this application', async () => {
    const bench = await openBench();
    const link = inviteLink(bench.double.world.bot.applicationId);
    expect(bench.told).toEqual([`Add the bot to a server with: ${link}`]);
    const url = new URL(link);
    expect([url.origin + url.pathname, Object.fromEntries(url.searchParams)]).toEqual(['https://discord.com/oauth2/authorize', { client_id: bench.double.world.bot.applicationId, scope: 'bot applications.commands', permissions: '309237763136', integration_type: '0' }]);
  });
});
