import { Events, type Client, type Message } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll, INTENTS } from './bot.ts';
import { button, cafe, onInteraction, shown, type Cafe } from './cafe.ts';

afterEach(disconnectAll);
const photo = { name: 'leak.jpg', bytes: new Uint8Array([1]), type: 'image/jpeg' };

/** Takes note of all the bot reads, own messages left out. */
function reading(client: Client): Message[] {
  const read: Message[] = [];
  client.on(Events.MessageCreate, (message) => void (message.author.bot ? undefined : read.push(message)));
  return read;
}
async function lastRead({ double }: Cafe, read: readonly Message[]): Promise<Message> {
  await double.gateway.heard();
  const last = read.at(-1);
  if (!last) throw new Error('nothing was read');
  return last;
}

test('a bare "done" and its photo arrive empty without the intent, by event and by request', async () => {
  const all = await cafe({ checkOwn: true });
  const read = reading(all.client);
  const said = all.mia.say(all.bar, 'done', { files: [photo] });
  const got = await lastRead(all, read);
  expect([got.content, got.attachments.size, got.author.displayName]).toEqual(['', 0, 'Mia']);
  const fetched = await all.text.messages.fetch({ message: said.message.id, force: true });
  const listed = await all.text.messages.fetch({ limit: 5, cache: false });
  expect([fetched.content, listed.first()?.content]).toEqual(['', '']);
  expect([all.double.problems(), all.double.doubts()]).toEqual([[], []]);
});

test('a mention of the bot, a direct message and a reply that pings it are readable', async () => {
  const all = await cafe();
  const read = reading(all.client);
  const reminder = await all.text.send('Closing: backflush');
  const seen = shown(all);
  all.mia.say(all.bar, `<@${all.client.user.id}> done`);
  expect((await lastRead(all, read)).content).toBe(`<@${all.client.user.id}> done`);
  all.mia.say(all.mia.direct(), 'which job', { files: [photo] });
  expect((await lastRead(all, read)).attachments.size).toBe(1);
  all.mia.say(all.bar, 'all done', { replyTo: seen });
  const reply = await lastRead(all, read);
  expect([reply.content, reply.reference?.messageId, reply.mentions.repliedUser?.id]).toEqual(['all done', reminder.id, all.client.user.id]);
});

test('a reply without ping names the message but says nothing', async () => {
  const all = await cafe();
  const read = reading(all.client);
  const reminder = await all.text.send('Closing: backflush');
  all.mia.say(all.bar, 'done', { replyTo: shown(all), ping: false });
  const got = await lastRead(all, read);
  expect([got.content, got.reference?.messageId]).toEqual(['', reminder.id]);
});

test('a reply that pings an answer to an interaction is not promised to be readable', async () => {
  const all = await cafe();
  const read = reading(all.client);
  await all.text.send({ content: 'Closing', components: [button('a', 'Why?')] });
  onInteraction(all.client, async (interaction) => (interaction.isButton() ? interaction.reply('Because of the seal') : undefined));
  const answer = await all.mia.press(shown(all), 'Why?').answer();
  all.mia.say(all.bar, 'thanks', { replyTo: answer });
  expect((await lastRead(all, read)).content).toBe('');
});

test('with the intent granted and asked for, all is readable', async () => {
  const all = await cafe({ granted: { messageContent: true } }, { intents: [...INTENTS, 1 << 15] });
  const read = reading(all.client);
  all.mia.say(all.bar, 'done');
  expect((await lastRead(all, read)).content).toBe('done');
});

test('own messages stay readable in the history, with their buttons', async () => {
  const all = await cafe();
  await all.text.send({ content: 'Closing', components: [button('v1:done:a', 'Done: all')] });
  const listed = await all.text.messages.fetch({ limit: 1, cache: false });
  expect([listed.first()?.content, listed.first()?.components.length]).toEqual(['Closing', 1]);
});
