import { Routes, type ButtonInteraction, type Interaction } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { button, cafe, onInteraction, refusal, shown, type Cafe } from './cafe.ts';
import type { Asked } from './double/asked.ts';

afterEach(disconnectAll);
const field = { type: 18, label: 'Open at', component: { type: 4, custom_id: 'open', style: 1 } };
const form = { custom_id: 'f', title: 'Hours', components: [field] };

type Pressed = Cafe & { readonly press: Asked; readonly got: ButtonInteraction; readonly answer: (type: number, data?: object) => Promise<unknown> };

/** A press that reached the bot and which nothing has answered yet; answers go out raw, past the client's own guards. */
async function pressed(): Promise<Pressed> {
  const all = await cafe();
  const arrived = new Promise<Interaction>((resolve) => all.client.once('interactionCreate', resolve));
  await all.text.send({ content: 'Closing', components: [button('v1:done', 'Done: all')] });
  const press = all.mia.press(shown(all), 'Done: all');
  const got = (await arrived) as ButtonInteraction;
  const answer = (type: number, data?: object): Promise<unknown> =>
    all.client.rest.post(Routes.interactionCallback(got.id, got.token), { body: { type, ...(data ? { data } : {}) }, auth: false });
  return { ...all, press, got, answer };
}

test('a form after an acknowledgement is refused with 40060', async () => {
  const { answer, double } = await pressed();
  await answer(6);
  expect(await refusal(answer(9, form))).toMatchObject({ status: 400, code: 40060 });
  expect(double.problems().map(({ kind }) => kind)).toEqual(['refused 40060']);
});

test('a second acknowledgement is refused with 40060, and the first stands', async () => {
  const { answer, press } = await pressed();
  await answer(5);
  expect(await refusal(answer(6))).toMatchObject({ code: 40060 });
  expect(await press.acknowledged()).toBe('later reply');
});

test('an answer 3 s late is refused with 10062, and the person reads that it failed', async () => {
  const { answer, double, press } = await pressed();
  double.advance(3001);
  await press.failed();
  expect(await refusal(answer(6))).toMatchObject({ status: 404, code: 10062 });
  await expect(press.acknowledged()).rejects.toThrow('This interaction failed');
  expect(double.problems().map(({ kind }) => kind)).toEqual(['interaction failed', 'refused 10062']);
});

test('an answer at exactly 3 s still counts', async () => {
  const { answer, double, press } = await pressed();
  double.advance(3000);
  await answer(6);
  expect(await press.acknowledged()).toBe('later update');
  expect(double.problems()).toEqual([]);
});

test('the client throws what the platform said about a late reply', async () => {
  const { got, double } = await pressed();
  double.advance(4000);
  expect(await refusal(got.reply('too late'))).toMatchObject({ code: 10062 });
});

test('a follow-up before the first answer is refused with 10015, after 15 minutes with 50027', async () => {
  const { client, got, answer, double } = await pressed();
  const follow = () => client.rest.post(Routes.webhook(client.application.id, got.token), { body: { content: 'x' }, auth: false });
  expect(await refusal(follow())).toMatchObject({ status: 404, code: 10015 });
  await answer(6);
  await follow();
  double.advance(15 * 60_000 + 1);
  expect(await refusal(follow())).toMatchObject({ status: 401, code: 50027 });
  const still = await client.rest.get(Routes.user('@me'));
  expect(still).toMatchObject({ id: client.user.id });
});

test.each([
  ['choices to a press', 8],
  ['an unknown sort of answer', 42],
])('%s are refused', async (_name, type) => {
  const { answer } = await pressed();
  expect(await refusal(answer(type, { choices: [] }))).toMatchObject({ code: 50035, fields: ['type'] });
});

test('a command has no message to update, and a form sent cannot be answered by a form', async () => {
  const { client, double, bar, mia, text, place } = await cafe();
  await client.application.commands.set([{ name: 'cafe', description: 'Set up or change this café' }]);
  await text.send({ content: 'Set up', components: [button('v1:hours', 'Hours')] });
  const codes: unknown[] = [];
  onInteraction(client, async (interaction) => {
    const raw = (body: object) => client.rest.post(Routes.interactionCallback(interaction.id, interaction.token), { body, auth: false });
    if (interaction.isChatInputCommand()) codes.push((await refusal(raw({ type: 6 }))).code, (await refusal(raw({ type: 7, data: { content: 'x' } }))).code);
    if (interaction.isModalSubmit()) codes.push((await refusal(raw({ type: 9, data: form }))).code);
    if (interaction.isButton()) await raw({ type: 9, data: form });
    else if (interaction.isRepliable()) await interaction.reply('ok');
  });
  const setUp = shown({ place, bar });
  await mia.command(bar, '/cafe').answer();
  const opened = await mia.press(setUp, 'Hours').form();
  await mia.submit(opened, { open: '07:30' }).answer();
  expect(codes).toEqual([50035, 50035, 50035]);
  expect(double.journal.entries.filter((entry) => entry.kind === 'form opened').length).toBe(1);
});

test('a later reply stands as thinking, is filled once, and keeps its privacy', async () => {
  const { got, press, place, bar, mia } = await pressed();
  await got.deferReply({ flags: 64 });
  await got.editReply('Only you see this');
  const told = await press.privately();
  expect([told.content, told.onlyFor]).toEqual(['Only you see this', mia.id]);
  expect(place.messages(bar).map((message) => message.content)).toEqual(['Closing']);
  expect(mia.screen(bar).map((message) => message.content)).toEqual(['Closing', 'Only you see this']);
});

test('a private answer is in no channel: the bot cannot fetch or edit it there', async () => {
  const { client, got, press, bar } = await pressed();
  await got.reply({ content: 'Only you', flags: 64 });
  const told = await press.privately();
  expect(await refusal(client.rest.patch(Routes.channelMessage(bar.id, told.id), { body: { content: 'x' } }))).toMatchObject({ code: 10008 });
});
