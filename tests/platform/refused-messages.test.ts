import { Routes } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, post, rawButton, rawRow, refusal } from './cafe.ts';

afterEach(disconnectAll);
const many = <T>(n: number, make: (i: number) => T): T[] => Array.from({ length: n }, (_, i) => make(i));
const long = (n: number): string => 'x'.repeat(n);
const rows = (n: number): object[] => many(n, (i) => rawRow(rawButton(`id${i}`, `Row ${i}`)));
const select = (n: number, more: object = {}): object => ({ type: 3, custom_id: 'pick', options: many(n, (i) => ({ label: `Option ${i}`, value: `${i}` })), ...more });
const V2 = 1 << 15;

/** Bounds from the platform's pages "Message resource" and "Component reference". */
test.each<[string, object, string]>([
  ['2,001 characters of content', { content: long(2001) }, 'content'],
  ['an embed title of 257', { embeds: [{ title: long(257) }] }, 'embeds.0.title'],
  ['an embed description of 4,097', { embeds: [{ description: long(4097) }] }, 'embeds.0.description'],
  ['a field name of 257', { embeds: [{ fields: [{ name: long(257), value: 'x' }] }] }, 'embeds.0.fields.0.name'],
  ['a field value of 1,025', { embeds: [{ fields: [{ name: 'x', value: long(1025) }] }] }, 'embeds.0.fields.0.value'],
  ['a footer of 2,049', { embeds: [{ title: 'x', footer: { text: long(2049) } }] }, 'embeds.0.footer.text'],
  ['26 fields', { embeds: [{ fields: many(26, (i) => ({ name: `${i}`, value: 'x' })) }] }, 'embeds.0.fields'],
  ['6,001 characters over all embeds', { embeds: [{ description: long(4000) }, { description: long(2001) }] }, 'embeds'],
  ['11 embeds', { embeds: many(11, () => ({ title: 'x' })) }, 'embeds'],
  ['a sixth row', { content: 'x', components: rows(6) }, 'components'],
  ['a sixth button in a row', { content: 'x', components: [rawRow(...many(6, (i) => rawButton(`${i}`, 'x')))] }, 'components.0.components'],
  ['a button beside a select', { content: 'x', components: [rawRow(select(2), rawButton('b', 'x'))] }, 'components.0.components'],
  ['a label of 81', { content: 'x', components: [rawRow(rawButton('a', long(81)))] }, 'components.0.components.0.label'],
  ['a custom id of 101', { content: 'x', components: [rawRow(rawButton(long(101), 'x'))] }, 'components.0.components.0.custom_id'],
  ['the same custom id twice', { content: 'x', components: [rawRow(rawButton('a', 'x'), rawButton('a', 'y'))] }, 'components.0.components.1.custom_id'],
  ['a button without a label', { content: 'x', components: [rawRow({ type: 2, style: 1, custom_id: 'a' })] }, 'components.0.components.0.label'],
  ['a link button with an id', { content: 'x', components: [rawRow({ type: 2, style: 5, url: 'https://example.org', custom_id: 'a', label: 'x' })] }, 'components.0.components.0'],
  ['a 26th option', { content: 'x', components: [rawRow(select(26))] }, 'components.0.components.0.options'],
  ['a select without options', { content: 'x', components: [rawRow(select(0))] }, 'components.0.components.0.options'],
  ['an option value twice', { content: 'x', components: [rawRow(select(0, { options: [{ label: 'a', value: '1' }, { label: 'b', value: '1' }] }))] }, 'components.0.components.0.options'],
  ['an option label of 101', { content: 'x', components: [rawRow(select(0, { options: [{ label: long(101), value: '1' }] }))] }, 'components.0.components.0.options.0.label'],
  ['a placeholder of 151', { content: 'x', components: [rawRow(select(2, { placeholder: long(151) }))] }, 'components.0.components.0.placeholder'],
  ['more picks than options', { content: 'x', components: [rawRow(select(2, { max_values: 3 }))] }, 'components.0.components.0.max_values'],
  ['a nonce of 26', { content: 'x', nonce: long(26) }, 'nonce'],
  ['parse and ids for one sort', { content: 'x', allowed_mentions: { parse: ['users'], users: ['1'] } }, 'allowed_mentions'],
  ['content beside the newer components', { content: 'x', flags: V2, components: [{ type: 10, content: 'y' }] }, 'content'],
  ['41 newer components', { flags: V2, components: many(41, () => ({ type: 10, content: 'x' })) }, 'components'],
  ['4,001 characters of newer text', { flags: V2, components: [{ type: 10, content: long(4001) }] }, 'components'],
  ['newer components without the flag', { content: 'x', components: [{ type: 10, content: 'y' }] }, 'components.0'],
])('%s is refused with 50035 and the field', async (_name, body, field) => {
  const { client, bar, place, double } = await cafe();
  const refused = await refusal(post(client, bar, body));
  expect([refused.status, refused.code]).toEqual([400, 50035]);
  expect(refused.fields).toContain(field);
  expect(place.messages(bar)).toEqual([]);
  expect(double.problems().map(({ kind }) => kind)).toContain('refused 50035');
});

test('what stands exactly at the bounds is taken', async () => {
  const { client, bar, place, double } = await cafe({ checkOwn: true });
  await post(client, bar, { content: long(2000), components: [...rows(4), rawRow(select(25))] });
  await post(client, bar, { embeds: [{ description: long(4096) }, { description: long(1904) }] });
  await post(client, bar, { content: 'x', components: [rawRow(...many(5, (i) => rawButton(`${i}${long(99)}`, long(80))))] });
  expect(place.messages(bar)).toHaveLength(3);
  expect([double.problems(), double.doubts()]).toEqual([[], []]);
});

test('an empty message is refused with 50006', async () => {
  const { client, bar } = await cafe();
  expect(await refusal(post(client, bar, { content: '   ' }))).toEqual({ status: 400, code: 50006, fields: [] });
});

test('a file above 10 MiB is refused with 40005, one of 10 MiB is taken', async () => {
  const { text, double } = await cafe();
  const file = (bytes: number) => ({ files: [{ attachment: Buffer.alloc(bytes), name: 'report.pdf' }] });
  expect((await refusal(text.send(file(10 * 1024 * 1024 + 1)))).code).toBe(40005);
  expect(double.problems().map(({ kind }) => kind)).toEqual(['refused 40005']);
  expect((await text.send(file(10 * 1024 * 1024))).attachments.size).toBe(1);
});

test('an edit is held to the same bounds, counts what it leaves alone, and only touches own messages', async () => {
  const { client, text, bar, mia } = await cafe();
  const own = await text.send('Closing');
  const path = Routes.channelMessage(bar.id, own.id);
  expect((await refusal(client.rest.patch(path, { body: { content: long(2001) } }))).fields).toEqual(['content']);
  expect((await refusal(client.rest.patch(path, { body: { content: '' } }))).code).toBe(50006);
  const hers = mia.say(bar, 'done').message;
  expect((await refusal(client.rest.patch(Routes.channelMessage(bar.id, hers.id), { body: { content: 'x' } }))).code).toBe(50005);
});

test('the newer components cannot be taken back from a message', async () => {
  const { client, bar } = await cafe();
  const made = (await post(client, bar, { flags: V2, components: [{ type: 10, content: 'card' }] })) as { id: string };
  const refused = await refusal(client.rest.patch(Routes.channelMessage(bar.id, made.id), { body: { flags: 0, content: 'plain', components: [] } }));
  expect(refused.fields).toContain('flags');
});
