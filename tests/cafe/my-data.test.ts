import { expect, test } from 'vitest';
import { cafesAt, membersOf, techniciansOf } from '../../src/cafe/records.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import type { PersonId } from '../../src/chat/who.ts';
import { walkTo } from './walk.ts';
import { BAR, directTo, labelsOf, linesOf, openWorld } from './world.ts';

test('what is stored about me, and my name taken out everywhere while the facts stay', async () => {
  const done = new Map<PersonId, number>([['ola' as PersonId, 3]]);
  const forgotten: PersonId[] = [];
  const world = await openWorld({
    traces: [{ key: 'cafe.machine.groups', count: async (_tx, person) => done.get(person) ?? 0, forget: async (_tx, person) => void forgotten.push(person) }],
  });
  await world.tap('ola', await walkTo(world, 'live'), 'Yes, call us');
  const data = await world.command('ola', 'mydata');
  expect(linesOf(data)).toEqual(['I know you by the name Ola.', 'owner of Lantern Street.', '3 groups.', 'I may write to you directly.']);
  const ask = await world.tap('ola', data, 'Take my name out');
  expect(linesOf(ask)).toEqual(['Shall I take your name out of everything?', 'What was done stays, by "someone". Your roles end.', 'Without you nobody owns Lantern Street.']);
  await world.tap('ola', ask, 'Keep my name');
  expect(forgotten).toEqual([]);
  await world.tap('ola', ask, 'Take it out');
  expect(forgotten).toEqual(['ola']);
  await world.tx(async (tx) => {
    const [cafe] = await cafesAt(tx, BAR);
    expect(cafe?.state).toBe('live');
    expect(await membersOf(tx, cafe?.id ?? '')).toEqual([]);
    const tables = ['member', 'technician', 'dialogue', 'note'] as const;
    for (const table of tables) expect(JSON.stringify(await tx.selectFrom(table).selectAll().execute()), table).not.toMatch(/\bola\b/i);
  });
  // Nobody owns it now: whoever manages the server can take it over, others cannot.
  expect(labelsOf(await world.command('mia', 'cafe'))).toEqual([]);
  const claim = await world.command('ola', 'cafe');
  expect(linesOf(claim)[0]).toBe('Nobody owns Lantern Street any more.');
  expect(linesOf(await world.tap('mia', claim, 'Take it over'))[0]).toBe('Lantern Street, Valencia.');
  expect(linesOf(await world.tap('ola', claim, 'Take it over'))[0]).toBe('Lantern Street. Next closing list: 22:00.');
});

test('a technician is unlinked and their telephone forgotten', async () => {
  const world = await openWorld();
  await world.tx((tx) => seedDemo(tx, world.needs.ids, world.now(), world.needs.onLive));
  const data = await world.command('ana', 'mydata', directTo('ana'));
  expect(linesOf(data)[1]).toBe('technician of Lantern Street.');
  await world.tap('ana', await world.tap('ana', data, 'Take my name out'), 'Take it out');
  await world.tx(async (tx) => {
    expect(await tx.selectFrom('technician').select(['name', 'telephone', 'person', 'place', 'state']).execute()).toEqual([{ name: 'someone', telephone: null, person: null, place: null, state: 'unlinked' }]);
    expect(await techniciansOf(tx, (await cafesAt(tx, BAR))[0]?.id ?? '')).toEqual([]);
  });
});

test('no more unasked messages, by one press', async () => {
  const world = await openWorld();
  await world.tap('ola', await walkTo(world, 'live'), 'Yes, call us');
  await world.tap('ola', await world.command('ola', 'mydata'), "Don't write to me");
  expect(linesOf(await world.command('ola', 'mydata')).at(-1)).toBe('I do not write to you unasked.');
});

test('someone never seen is told that nothing is stored, and may still ask to be forgotten', async () => {
  const world = await openWorld();
  expect(linesOf(await world.command('stranger', 'mydata'))).toEqual(['I store nothing about you here.']);
  expect((await world.say('stranger', 'delete me')).map((each) => linesOf(each)[0])).toEqual(['I store nothing about you here.']);
});

test.each([
  ['ola', 'I remind the bar; say "done", or say what is wrong.', ['Change the café', 'My data']],
  ['mia', 'Say "done" to a list, or say in your words what is wrong.', ['My data']],
  ['ana', 'Your visits, and what was found: /visits', ['My data']],
  ['stranger', "I look after a café's coffee machine with its people.", ['My data']],
])('help for %s: five lines, at most three buttons, the danger and the deference always', async (who, first, labels) => {
  const world = await openWorld();
  await world.tx((tx) => seedDemo(tx, world.needs.ids, world.now(), world.needs.onLive));
  const help = await world.command(who, 'help');
  expect(linesOf(help)).toHaveLength(5);
  expect(linesOf(help)[1]).toBe(first);
  expect(linesOf(help).slice(3)).toEqual(['Danger, at any time, by anyone: /danger', 'Emergency services, local rules, your technician come first.']);
  expect(labelsOf(help)).toEqual(labels);
});

test('buttons of other subjects come first in the help, three in all', async () => {
  const world = await openWorld({ helpButtons: () => ['One', 'Two', 'Three', 'Four'].map((label) => ({ label, press: { kind: label, ids: [] } })) });
  expect(labelsOf(await world.command('mia', 'help'))).toEqual(['One', 'Two', 'Three']);
});
