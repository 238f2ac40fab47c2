import { MessageFlags } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, post, shown } from './cafe.ts';
import { may } from './double/permissions.ts';
import type { Message } from './double/world.ts';

afterEach(disconnectAll);
const words = (messages: readonly Message[]): string[] => messages.map(({ content }) => content);

test('closed mentions name without ringing; only who is let through is rung', async () => {
  const { text, place, mia } = await cafe();
  const sam = place.person('Sam');
  await text.send(`quiet <@${mia.id}> <@${sam.id}> @everyone`);
  await text.send({ content: `loud <@${mia.id}> <@${sam.id}>`, allowedMentions: { users: [mia.id] } });
  expect([mia.rang().length, sam.rang().length]).toEqual([1, 0]);
  expect(words(mia.rang())).toEqual([`loud <@${mia.id}> <@${sam.id}>`]);
});

test('left out, allowed_mentions lets everything ring in a plain message', async () => {
  const { client, bar, place, mia } = await cafe();
  await post(client, bar, { content: `<@${mia.id}>` });
  expect([mia.rang().length, shown({ place, bar }).pinged.users]).toEqual([1, [mia.id]]);
});

test('a role rings only if it can be mentioned or the bot may mention everyone', async () => {
  const { text, bar, place, client } = await cafe();
  const [shy, loud] = [place.role('closing'), place.role('opening', { mentionable: true })];
  const lina = place.person('Lina', [shy, loud]);
  const send = (role: { id: string }) => text.send({ content: `<@&${role.id}>`, allowedMentions: { roles: [role.id] } });
  await send(shy);
  expect([lina.rang().length, shown({ place, bar }).mentions.roles]).toEqual([0, [shy.id]]);
  await send(loud);
  expect(lina.rang().length).toBe(1);
  const bots = place.guild.roles.get(place.guild.members.get(client.user.id)?.roles[0] ?? '');
  if (bots) bots.permissions |= may.MentionEveryone;
  await send(shy);
  expect(lina.rang().length).toBe(2);
});

test('a silent message never rings, a direct message always does, an edit never', async () => {
  const { client, text, mia } = await cafe();
  await text.send({ content: `<@${mia.id}>`, allowedMentions: { users: [mia.id] }, flags: MessageFlags.SuppressNotifications });
  const plain = await text.send('Closing');
  await plain.edit({ content: `<@${mia.id}>`, allowedMentions: { users: [mia.id] } });
  expect(mia.rang()).toEqual([]);
  await (await client.users.createDM(mia.id)).send('Booking');
  expect(words(mia.rang())).toEqual(['Booking']);
});

test('a reply rings its author only when asked to', async () => {
  const { text, bar, mia, client } = await cafe();
  const said = mia.say(bar, `<@${client.user.id}> done`).message;
  const reply = { messageReference: said.id };
  await text.send({ content: 'Stored', reply });
  await text.send({ content: 'Stored aloud', reply, allowedMentions: { repliedUser: true } });
  expect(words(mia.rang())).toEqual(['Stored aloud']);
});
