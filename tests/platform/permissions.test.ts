import { Routes, type TextChannel } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, post, refusal, shown } from './cafe.ts';
import { may } from './double/permissions.ts';

afterEach(disconnectAll);
const file = { files: [{ attachment: Buffer.from('x'), name: 'x.ics' }] };

test.each<[string, bigint, number, object]>([
  ['seeing the channel', may.ViewChannel, 50001, { content: 'x' }],
  ['sending', may.SendMessages, 50013, { content: 'x' }],
  ['embedding links', may.EmbedLinks, 50013, { embeds: [{ title: 'x' }] }],
])('sending without %s is refused with 403', async (_name, bit, code, body) => {
  const { client, bar, place, double } = await cafe();
  place.denyBot(bar, bit);
  expect(await refusal(post(client, bar, body))).toMatchObject({ status: 403, code });
  place.allowBot(bar, bit);
  await post(client, bar, body);
  expect([place.messages(bar).length, double.invalidRequests(), double.problems()]).toEqual([1, 1, []]);
});

test('without the right to attach files only the words pass', async () => {
  const { text, bar, place } = await cafe();
  place.denyBot(bar, may.AttachFiles);
  expect(await refusal(text.send(file))).toMatchObject({ code: 50013 });
  await text.send('words');
  expect(shown({ place, bar }).content).toBe('words');
});

test('an edit, a deletion and a fetch without seeing the channel are refused with 50001', async () => {
  const { client, text, bar, place } = await cafe();
  const sent = await text.send('Closing');
  place.denyBot(bar, may.ViewChannel);
  const path = Routes.channelMessage(bar.id, sent.id);
  expect(await refusal(client.rest.patch(path, { body: { content: 'x' } }))).toMatchObject({ status: 403, code: 50001 });
  expect(await refusal(client.rest.delete(path))).toMatchObject({ code: 50001 });
  expect(await refusal(client.rest.get(Routes.channel(bar.id)))).toMatchObject({ code: 50001 });
});

test('a channel or message that is gone is refused with 10003 or 10008', async () => {
  const { client, text, bar, place } = await cafe();
  const sent = await text.send('Closing');
  await sent.delete();
  expect(await refusal(sent.edit('x'))).toMatchObject({ status: 404, code: 10008 });
  place.removeChannel(bar);
  expect(await refusal(post(client, bar, { content: 'x' }))).toMatchObject({ status: 404, code: 10003 });
});

test('history without the right to read it is an empty list, not an error; a reply is refused with 160002', async () => {
  const { client, text, bar, place, mia } = await cafe();
  const words = mia.say(bar, 'done').message;
  await text.send('Closing');
  place.denyBot(bar, may.ReadMessageHistory);
  expect(await client.rest.get(Routes.channelMessages(bar.id))).toEqual([]);
  expect(await refusal(post(client, bar, { content: 'x', message_reference: { message_id: words.id } }))).toMatchObject({ code: 160002 });
});

test('a first reaction needs its own right, the bot sees and takes back its own', async () => {
  const { text, bar, place, mia } = await cafe();
  const sent = await text.send('Closing');
  await sent.react('✅');
  mia.react(shown({ place, bar }), '✅');
  const users = await sent.reactions.cache.get('✅')?.users.fetch();
  expect([...(users?.keys() ?? [])].sort()).toEqual([mia.id, sent.author.id].sort());
  await sent.reactions.cache.get('✅')?.users.remove();
  expect(shown({ place, bar }).reactions).toEqual([{ emoji: '✅', by: [mia.id] }]);
  place.denyBot(bar, may.AddReactions);
  await sent.react('✅');
  expect(await refusal(sent.react('⏰'))).toMatchObject({ code: 50013 });
});

test('closed direct messages open a channel and refuse the message with 50007; a stranger with 50278', async () => {
  const { client, double, mia } = await cafe();
  mia.user.door = 'closed';
  const direct = await client.users.createDM(mia.id);
  expect(await refusal(direct.send('Booking'))).toMatchObject({ status: 403, code: 50007 });
  mia.user.door = 'open';
  await direct.send('Booking');
  expect(mia.screen(mia.direct()).map(({ content }) => content)).toEqual(['Booking']);
  const stranger = double.person('Ana');
  const away = await client.users.createDM(stranger.id);
  expect(await refusal(away.send('Booking'))).toMatchObject({ status: 403, code: 50278 });
  expect(await refusal(client.users.createDM('1'))).toMatchObject({ code: 10013 });
});

test('a thread: one per message, archived wakes up by a message, locked refuses with 160005, edits with 50083', async () => {
  const { client, text, place, double, bar } = await cafe({ checkOwn: true });
  const card = await text.send('Booking');
  const thread = await card.startThread({ name: 'Leak, group 1' });
  expect([thread.id, (await refusal(client.rest.post(Routes.threads(bar.id, card.id), { body: { name: 'again' } }))).code]).toEqual([card.id, 160004]);
  const inside = await thread.send('On my way');
  const world = double.world.channels.get(thread.id);
  if (!world) throw new Error('no thread');
  place.archive(world, false);
  expect(await refusal(inside.edit('Here'))).toMatchObject({ code: 50083 });
  expect(await refusal(inside.react('✅'))).toMatchObject({ code: 50083 });
  await thread.send('Here');
  expect(world.thread?.archived).toBe(false);
  place.archive(world, true);
  expect(await refusal(thread.send('Finished'))).toMatchObject({ status: 400, code: 160005 });
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});

test('the bot may rename and archive its own thread, but not lock it', async () => {
  const { client, text } = await cafe();
  const thread = await text.threads.create({ name: 'Leak' });
  await thread.setName('Leak, fixed');
  expect(await refusal(client.rest.patch(Routes.channel(thread.id), { body: { locked: true } }))).toMatchObject({ code: 50013 });
  await thread.setArchived(true);
  expect(thread.archived).toBe(true);
});

test('roles, members, channels and the guild can be asked for; strangers cannot', async () => {
  const { client, double, place, mia } = await cafe({ checkOwn: true });
  const guild = await client.guilds.fetch({ guild: place.guild.id, force: true });
  expect((await guild.roles.fetch()).map(({ name }) => name).sort()).toEqual(['@everyone', 'Grouphand', 'bar']);
  expect((await guild.members.fetch({ user: mia.id, force: true })).roles.cache.map(({ name }) => name).sort()).toEqual(['@everyone', 'bar']);
  expect((await guild.channels.fetch()).map((channel) => (channel as TextChannel).name)).toEqual(['bar']);
  expect(await refusal(guild.members.fetch({ user: double.person('Ana').id, force: true }))).toMatchObject({ code: 10007 });
  expect(await refusal(client.rest.get(Routes.guild('1')))).toMatchObject({ code: 10004 });
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});
