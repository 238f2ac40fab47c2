import { ApplicationCommandOptionType, ApplicationCommandType, Routes, type MessageContextMenuCommandInteraction } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, onInteraction, refusal } from './cafe.ts';
import { may } from './double/permissions.ts';

afterEach(disconnectAll);
const done = { name: 'done', description: 'Mark a job done', options: [{ type: ApplicationCommandOptionType.String, name: 'job', description: 'Which job', autocomplete: true }] } as const;
const long = (n: number): string => 'x'.repeat(n);
const option = (name: string, more: object = {}): object => ({ type: 3, name, description: 'x', ...more });

test.each<[string, readonly object[], string]>([
  ['a capital in the name', [{ name: 'Done', description: 'x' }], '0.name'],
  ['a description of 101', [{ name: 'done', description: long(101) }], '0.description'],
  ['no description', [{ name: 'done' }], '0.description'],
  ['26 options', [{ name: 'done', description: 'x', options: Array.from({ length: 26 }, (_, i) => option(`o${i}`)) }], '0.options'],
  ['26 choices', [{ name: 'done', description: 'x', options: [option('job', { choices: Array.from({ length: 26 }, (_, i) => ({ name: `${i}`, value: `${i}` })) })] }], '0.options.0.choices'],
  ['a required option after one that is not', [{ name: 'done', description: 'x', options: [option('a'), option('b', { required: true })] }], '0.options'],
  ['two of one name', [{ name: 'done', description: 'x' }, { name: 'done', description: 'y' }], 'commands'],
  ['16 message commands', Array.from({ length: 16 }, (_, i) => ({ type: 3, name: `Mark ${i}` })), 'commands'],
  ['more than 8,000 characters', [{ name: 'done', description: 'x', options: Array.from({ length: 25 }, (_, i) => option(`o${i}`, { choices: Array.from({ length: 4 }, (_c, c) => ({ name: `${c}${long(99)}`, value: `${c}` })) })) }], '0'],
])('commands with %s are refused with 50035', async (_name, commands, field) => {
  const { client } = await cafe();
  const refused = await refusal(client.rest.put(Routes.applicationCommands(client.application.id), { body: commands }));
  expect([refused.code, refused.fields.includes(field)]).toEqual([50035, true]);
});

test('a new set replaces the old one, and a name that stays keeps its id', async () => {
  const { client, double, place } = await cafe({ checkOwn: true });
  const first = await client.application.commands.set([done, { name: 'today', description: 'What is due' }]);
  const second = await client.application.commands.set([done]);
  expect([...second.keys()]).toEqual([first.find(({ name }) => name === 'done')?.id]);
  expect([...(await client.application.commands.fetch()).values()].map(({ name }) => name)).toEqual(['done']);
  await client.application.commands.set([{ name: 'here', description: 'Only here' }], place.guild.id);
  expect(double.world.commands.get(place.guild.id)?.map(({ name }) => name)).toEqual(['here']);
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});

test('a command arrives with its options, half-typed words get choices', async () => {
  const { client, mia, bar, double } = await cafe({ checkOwn: true });
  await client.application.commands.set([done]);
  onInteraction(client, async (interaction) => {
    if (interaction.isAutocomplete()) return interaction.respond([{ name: `Backflush (${interaction.options.getFocused()})`, value: 'backflush' }]);
    return interaction.isChatInputCommand() ? interaction.reply({ content: `Done: ${interaction.options.getString('job') ?? ''}`, flags: 64 }) : undefined;
  });
  expect(await mia.autocomplete(bar, '/done', { job: 'ba' }, 'job').choices()).toEqual([{ name: 'Backflush (ba)', value: 'backflush' }]);
  const told = await mia.command(bar, '/done', { job: 'backflush' }).privately();
  expect(told.content).toBe('Done: backflush');
  expect(() => mia.command(bar, '/done', { what: 'x' })).toThrow('no option "what"');
  expect(() => mia.command(bar, '/nothing')).toThrow('no command "nothing"');
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});

test('26 choices to half-typed words are refused', async () => {
  const { client, mia, bar } = await cafe();
  await client.application.commands.set([done]);
  const seen: unknown[] = [];
  onInteraction(client, async (interaction) => {
    if (!interaction.isAutocomplete()) return;
    const choices = Array.from({ length: 26 }, (_, i) => ({ name: `${i}`, value: `${i}` }));
    seen.push((await refusal(client.rest.post(Routes.interactionCallback(interaction.id, interaction.token), { body: { type: 8, data: { choices } }, auth: false }))).code);
    await interaction.respond([]);
  });
  expect(await mia.autocomplete(bar, '/done', { job: '' }, 'job').choices()).toEqual([]);
  expect(seen).toEqual([50035]);
});

test('a command for owners is hidden from the bar, and one for guilds from direct messages', async () => {
  const { client, mia, bar, place } = await cafe();
  await client.application.commands.set([{ name: 'cafe', description: 'Set up', defaultMemberPermissions: may.ManageGuild, contexts: [0] }]);
  expect(() => mia.command(bar, '/cafe')).toThrow('hidden');
  expect(() => place.owner.command(place.owner.direct(), '/cafe')).toThrow('hidden');
  expect(place.owner.command(bar, '/cafe').id).toMatch(/^\d+$/);
});

test('a long press hands over the whole message, without the intent', async () => {
  const { client, mia, bar, place } = await cafe();
  await client.application.commands.set([{ name: 'Mark done', type: ApplicationCommandType.Message }]);
  const sam = place.person('Sam');
  const words = sam.say(bar, 'group 1 is done').message;
  const seen: string[] = [];
  onInteraction(client, async (interaction) => {
    const long = interaction as MessageContextMenuCommandInteraction;
    seen.push(long.targetMessage.content);
    await long.reply({ content: 'ok', flags: 64 });
  });
  await mia.messageCommand('Mark done', words).privately();
  expect(seen).toEqual(['group 1 is done']);
});
