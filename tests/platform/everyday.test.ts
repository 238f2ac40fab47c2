import { AttachmentBuilder, EmbedBuilder, LabelBuilder, MessageFlags, ModalBuilder, StringSelectMenuBuilder, TextInputBuilder, TextInputStyle } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { button, cafe, onInteraction, shown } from './cafe.ts';
import { schemaPresent } from './double/schema.ts';
import { labelsOf, wordsOf } from './double/seen.ts';

afterEach(disconnectAll);
const schema = schemaPresent ? '(requests held against the published description)' : '(published description absent: requests not held against it)';

test(`login, send, edit, history, files, delete pass without complaint ${schema}`, async () => {
  const { double, text, bar, place } = await cafe({ checkOwn: true });
  const sent = await text.send({ content: 'Closing: backflush group 1', components: [button('v1:done:a', 'Done: all')] });
  expect(place.messages(bar).map(wordsOf)).toEqual(['Closing: backflush group 1']);
  const before = shown({ place, bar });
  const mark = double.journal.mark();
  await sent.edit({ content: 'Done 22:31', components: [] });
  const after = await double.changed(before, mark, ({ content }) => content.startsWith('Done'));
  expect([before.content, after.id, double.now(before)]).toEqual(['Closing: backflush group 1', before.id, after]);
  expect([wordsOf(shown({ place, bar })), labelsOf(shown({ place, bar }))]).toEqual(['Done 22:31', []]);
  const picture = new AttachmentBuilder(Buffer.from('picture'), { name: 'handle.png', description: 'Handle at four o’clock' });
  const card = await text.send({ embeds: [new EmbedBuilder().setTitle('Seal').setImage('attachment://handle.png')], files: [picture] });
  expect(card.attachments.first()?.description).toBe('Handle at four o’clock');
  const fetched = await fetch(card.embeds[0]?.image?.url ?? '');
  expect(await fetched.text()).toBe('picture');
  const listed = await text.messages.fetch({ limit: 10 });
  expect([...listed.keys()]).toEqual([card.id, sent.id]);
  await card.delete();
  expect(place.messages(bar)).toHaveLength(1);
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});

test('a press acknowledged as an update redraws the message pressed on', async () => {
  const { double, client, text, mia, place, bar } = await cafe({ checkOwn: true });
  await text.send({ content: 'Closing', components: [button('v1:done:a', 'Done: all')] });
  onInteraction(client, async (interaction) => {
    if (!interaction.isButton()) return;
    await interaction.deferUpdate();
    await interaction.editReply({ content: `Done by ${interaction.user.displayName}`, components: [] });
    await interaction.followUp({ content: 'Stored 22:31', flags: MessageFlags.Ephemeral });
  });
  const press = mia.press(shown({ place, bar }), 'Done: all');
  expect(await press.acknowledged()).toBe('later update');
  expect(wordsOf(await press.answer())).toBe('Done by Mia');
  const told = await press.privately();
  expect([told.content, told.onlyFor]).toEqual(['Stored 22:31', mia.id]);
  expect(place.messages(bar)).toHaveLength(1);
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});

test('a form opened by a press comes back filled, with the values shown in it', async () => {
  const { double, client, text, mia, place, bar } = await cafe({ checkOwn: true });
  await text.send({ content: 'Set up', components: [button('v1:hours', 'Hours')] });
  const modal = new ModalBuilder().setCustomId('v1:hours:x7').setTitle('Opening hours').addLabelComponents(
    new LabelBuilder().setLabel('Open at').setTextInputComponent(new TextInputBuilder().setCustomId('open').setStyle(TextInputStyle.Short).setValue('07:30')),
    new LabelBuilder().setLabel('Groups').setStringSelectMenuComponent(new StringSelectMenuBuilder().setCustomId('groups').addOptions({ label: 'One', value: '1' }, { label: 'Two', value: '2' })),
  );
  onInteraction(client, async (interaction) => {
    if (interaction.isButton()) return interaction.showModal(modal);
    if (!interaction.isModalSubmit()) return undefined;
    return interaction.reply(`${interaction.fields.getTextInputValue('open')} / ${interaction.fields.getStringSelectValues('groups').join()}`);
  });
  const form = await mia.press(shown({ place, bar }), 'Hours').form();
  expect(form.title).toBe('Opening hours');
  const sent = mia.submit(form, { Groups: ['Two'] });
  expect(wordsOf(await sent.answer())).toBe('07:30 / 2');
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});
