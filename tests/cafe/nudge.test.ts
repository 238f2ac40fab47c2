import { expect, test } from 'vitest';
import { days, hours } from '../../src/time/instant.ts';
import { asked, walkTo } from './walk.ts';
import { BAR, labelsOf, linesOf, openWorld } from './world.ts';

test('a set-up left half-way is mentioned once the next morning, silently, and never again', async () => {
  const world = await openWorld();
  await walkTo(world, 'switch');
  await world.pass(hours(12));
  expect(await world.posted()).toEqual([]);
  await world.pass(hours(8));
  const [nudge, ...more] = await world.posted();
  expect(more).toEqual([]);
  if (!nudge) throw new Error('no nudge');
  expect(nudge.place).toBe(BAR);
  expect(JSON.parse(nudge.notify)).toEqual({ people: ['ola'], roles: [] });
  expect(linesOf(nudge.message)).toEqual(['Lantern Street: 3 answers to go.', 'Carry on when it suits you; I will not ask again.']);
  expect(labelsOf(nudge.message)).toEqual(['Carry on']);
  expect(labelsOf(await world.tap('mia', nudge.message, 'Carry on')), 'the bar may look, not answer').toEqual([]);
  const carriedOn = await world.tap('ola', nudge.message, 'Carry on');
  expect(asked(carriedOn)).toBe('switch');
  await world.tap('ola', carriedOn, 'Later');
  await world.pass(days(30));
  expect(await world.posted()).toEqual([]);
});

test('a café that went live in time is not nudged', async () => {
  const world = await openWorld();
  await walkTo(world, 'live');
  await world.pass(days(1));
  expect(await world.posted()).toEqual([]);
});
