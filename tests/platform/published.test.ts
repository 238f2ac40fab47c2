import { Routes } from 'discord.js';
import { afterEach, expect, test } from 'vitest';
import { disconnectAll } from './bot.ts';
import { cafe, post, refusal } from './cafe.ts';
import { allRoutes } from './double/route-table.ts';
import { requestComplaints, routeKnown, schemaPresent } from './double/schema.ts';
import { kinds } from './double/inside.ts';

afterEach(disconnectAll);
/** Held against the platform's published description of its HTTP interface (v10); absent, these are skipped by name. */
const held = schemaPresent ? test : test.skip;
const note = schemaPresent ? '' : ' (published description absent: not checked)';

held(`every route of the double stands in the published description under that name${note}`, () => {
  expect(allRoutes.filter((route) => !routeKnown(route)).map(({ name }) => name)).toEqual([]);
});

held(`a body that is not as published is seen${note}`, async () => {
  const { client, bar, double } = await cafe();
  await post(client, bar, { content: 'x', tts: 'yes' });
  expect(double.problems()).toEqual([{ kind: 'not as published', detail: expect.stringContaining('create_message: /tts') as string }]);
});

held(`a callback of no known shape is seen${note}`, () => {
  const callback = allRoutes.find(({ name }) => name === 'create_interaction_response');
  if (!callback) throw new Error('no such route');
  expect(requestComplaints(callback, { type: 9, data: { title: 'no id, no parts' } }).length).toBeGreaterThan(0);
  expect(requestComplaints(callback, { type: 6 })).toEqual([]);
});

test('a route the double does not have is refused and reported', async () => {
  const { client, double, bar } = await cafe();
  expect(await refusal(client.rest.get(Routes.channelPins(bar.id)))).toMatchObject({ status: 404 });
  expect(kinds(double.problems())).toEqual(['unknown route']);
});
