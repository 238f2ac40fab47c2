import { Routes, type ModalSubmitInteraction } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { button, cafe, onInteraction, refusal, shown, type Cafe, type Refused } from './cafe.ts';
import type { OpenForm } from './double/journal.ts';

afterEach(disconnectAll);
const long = (n: number): string => 'x'.repeat(n);
const label = (component: object, text = 'Open at', more: object = {}): object => ({ type: 18, label: text, component, ...more });
const words = (id: string, more: object = {}): object => ({ type: 4, custom_id: id, style: 1, ...more });
const options = (n: number): object[] => Array.from({ length: n }, (_, i) => ({ label: `Option ${i}`, value: `${i}` }));

/** Opens `form` by a press, or says how it was refused. */
async function opening(all: Cafe, form: object): Promise<OpenForm | Refused> {
  const refused: Refused[] = [];
  onInteraction(all.client, async (interaction) => {
    if (!interaction.isButton()) return;
    const sent = all.client.rest.post(Routes.interactionCallback(interaction.id, interaction.token), { body: { type: 9, data: form }, auth: false });
    const outcome = await refusal(sent).catch(() => undefined);
    if (outcome) refused.push(outcome);
    if (outcome) await interaction.deferUpdate();
  });
  await all.text.send({ content: 'Set up', components: [button('v1:open', 'Hours')] });
  const press = all.mia.press(shown(all), 'Hours');
  const how = await press.acknowledged();
  return how === 'form' ? press.form() : (refused[0] ?? { status: 0, code: 0, fields: [] });
}

const formOf = (...components: readonly object[]): object => ({ custom_id: 'f', title: 'Hours', components });

/** Bounds from the platform's pages on modals and components. */
test.each<[string, object, string]>([
  ['a title of 46', { ...formOf(label(words('a'))), title: long(46) }, 'data.title'],
  ['six questions', formOf(...Array.from({ length: 6 }, (_, i) => label(words(`${i}`)))), 'data.components'],
  ['no question', formOf(), 'data.components'],
  ['a label of 46', formOf(label(words('a'), long(46))), 'data.components.0.label'],
  ['a hint of 101', formOf(label(words('a'), 'x', { description: long(101) })), 'data.components.0.description'],
  ['a label inside a label', formOf(label(words('a', { label: 'x' }))), 'data.components.0.component.label'],
  ['a value above 4,000', formOf(label(words('a', { value: long(4001) }))), 'data.components.0.component.value'],
  ['a value above its own bound', formOf(label(words('a', { value: 'abc', max_length: 2 }))), 'data.components.0.component.value'],
  ['a placeholder of 101', formOf(label(words('a', { placeholder: long(101) }))), 'data.components.0.component.placeholder'],
  ['26 options', formOf(label({ type: 3, custom_id: 'a', options: options(26) })), 'data.components.0.component.options'],
  ['a required pick of none', formOf(label({ type: 3, custom_id: 'a', options: options(2), min_values: 0 })), 'data.components.0.component.min_values'],
  ['a disabled pick', formOf(label({ type: 3, custom_id: 'a', options: options(2), disabled: true })), 'data.components.0.component.disabled'],
  ['one radio', formOf(label({ type: 21, custom_id: 'a', options: options(1) })), 'data.components.0.component.options'],
  ['eleven boxes', formOf(label({ type: 22, custom_id: 'a', options: options(11) })), 'data.components.0.component.options'],
  ['a button as a question', formOf(label({ type: 2, custom_id: 'a', style: 1, label: 'x' })), 'data.components.0.component'],
  ['the same id twice', formOf(label(words('a')), label(words('a'))), 'data.components.1.component.custom_id'],
  ['eleven files', formOf(label({ type: 19, custom_id: 'a', max_values: 11 })), 'data.components.0.component.min_values'],
])('a form with %s is refused with 50035', async (_name, form, field) => {
  const outcome = (await opening(await cafe(), form)) as Refused;
  expect(outcome.code).toBe(50035);
  expect(outcome.fields).toContain(field);
});

test('five kinds of question come back as the client reads them', async () => {
  const all = await cafe({ checkOwn: true });
  const read: unknown[] = [];
  onInteraction(all.client, async (interaction) => {
    if (!interaction.isModalSubmit()) return;
    read.push(...values(interaction));
    await interaction.deferUpdate();
    await interaction.editReply('Stored');
  });
  const form = (await opening(all, formOf(
    label(words('open', { value: '07:30' }), 'Open at'),
    label({ type: 3, custom_id: 'groups', options: options(3) }, 'Groups'),
    label({ type: 8, custom_id: 'where' }, 'Where'),
    label({ type: 21, custom_id: 'round', options: options(2) }, 'Round'),
    label({ type: 22, custom_id: 'days', options: options(7) }, 'Days'),
  ))) as OpenForm;
  const sent = all.mia.submit(form, { Groups: 'Option 2', where: all.bar.id, Round: 'Option 1', Days: ['Option 0', 'Option 6'] });
  expect((await sent.redrawn()).content).toBe('Stored');
  expect(read).toEqual(['07:30', ['2'], [all.bar.id], '1', ['0', '6']]);
  expect([all.double.problems(), all.double.doubts(), all.errors]).toEqual([[], [], []]);
});

const values = ({ fields }: ModalSubmitInteraction): unknown[] => [
  fields.getTextInputValue('open'), [...fields.getStringSelectValues('groups')], [...(fields.getSelectedChannels('where')?.keys() ?? [])], fields.getRadioGroup('round'), [...fields.getCheckboxGroup('days')],
];

test('a photo, a tick and a person come back too, and the photo can be fetched', async () => {
  const all = await cafe();
  const sam = all.place.person('Sam');
  const read: unknown[] = [];
  onInteraction(all.client, async (interaction) => {
    if (!interaction.isModalSubmit()) return;
    const photo = interaction.fields.getUploadedFiles('photo')?.first();
    read.push(photo?.name, await (await fetch(photo?.url ?? '')).text(), interaction.fields.getCheckbox('sure'), [...(interaction.fields.getSelectedUsers('who')?.keys() ?? [])]);
    await interaction.deferUpdate();
  });
  const form = (await opening(all, formOf(label({ type: 19, custom_id: 'photo' }, 'Photo'), label({ type: 23, custom_id: 'sure' }, 'Sure'), label({ type: 5, custom_id: 'who' }, 'Who')))) as OpenForm;
  await all.mia.submit(form, { Photo: [{ name: 'leak.jpg', bytes: new TextEncoder().encode('drip'), type: 'image/jpeg' }], Sure: true, Who: sam.id }).acknowledged();
  expect(read).toEqual(['leak.jpg', 'drip', true, [sam.id]]);
});

test('a telephone does not send what is required and empty, too long, or not asked', async () => {
  const all = await cafe();
  const form = (await opening(all, formOf(label(words('open', { max_length: 5 })), label(words('note', { required: false }), 'Note')))) as OpenForm;
  expect(() => all.mia.submit(form, {})).toThrow('"Open at" is empty');
  expect(() => all.mia.submit(form, { open: 'half past seven' })).toThrow('is too long');
  expect(() => all.mia.submit(form, { open: '07:30', close: '22' })).toThrow('no field "close"');
  expect(() => all.place.person('Sam').submit(form, { open: '07:30' })).toThrow('not on Sam');
});
