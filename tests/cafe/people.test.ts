import { expect, test } from 'vitest';
import { cafesAt, membersOf, rolesIn } from '../../src/cafe/records.ts';
import { rightsOf } from '../../src/cafe/roles.ts';
import { isChoice, type Message } from '../../src/chat/message.ts';
import { personId } from '../../src/chat/who.ts';
import { walkTo } from './walk.ts';
import { BAR, labelsOf, linesOf, openWorld, type World } from './world.ts';

const people = async (): Promise<{ readonly world: World; readonly page: Message }> => {
  const world = await openWorld();
  await walkTo(world, 'live');
  return { world, page: await world.tap('ola', await world.command('ola', 'cafe'), 'People') };
};
const cafeNow = (world: World) =>
  world.tx(async (tx) => {
    const [cafe] = await cafesAt(tx, BAR);
    if (!cafe) throw new Error('no café');
    return cafe;
  });
const members = async (world: World): Promise<readonly (readonly [string, string | null, string])[]> => {
  const { id } = await cafeNow(world);
  return world.tx(async (tx) => (await membersOf(tx, id)).map(({ name, person, role }) => [name, person, role] as const));
};
const openPerson = async (world: World, page: Message, name: string): Promise<Message> => {
  const found = (page.rows ?? []).flatMap((row) => (isChoice(row) && typeof row.from !== 'string' ? row.from : [])).find(({ label }) => label === name);
  if (!found) throw new Error(`no ${name}`);
  return world.pick('ola', page, 'Change somebody', { [found.value]: name });
};
const rights = async (world: World, id: string, roles: readonly string[]): Promise<readonly string[]> => {
  const cafe = await cafeNow(world);
  return world.tx(async (tx) => [...rightsOf(await rolesIn(tx, cafe, { id: personId(id), name: id, roles, manages: false }))]);
};

test('people by name, the role, and first names without an account', async () => {
  const { world, page } = await people();
  expect(linesOf(page)).toEqual(['Owner: Ola', 'Bar: everyone with the role; -', 'Whom shall we change?']);
  const added = await world.pick('ola', page, 'Let more people answer', { mia: 'Mia', ola: 'Ola' });
  expect(linesOf(added)[0]).toBe('Added: Mia, Ola');
  const named = await world.write('ola', added, 'Write names', 'Lina, Pablo and mia');
  expect(linesOf(named)[0]).toBe('Noted: Lina, Pablo and mia.');
  expect(await members(world)).toEqual([['Ola', 'ola', 'owner'], ['Mia', 'mia', 'bar'], ['Lina', null, 'bar'], ['Pablo', null, 'bar'], ['mia', null, 'bar']]);
});

test('"names: Mia, Sam" in words, by the owner alone', async () => {
  const { world } = await people();
  expect((await world.say('mia', 'names: Eve')).map((each) => linesOf(each)[0])).toEqual(['I did not understand that. Say what is wrong, or write /help.']);
  expect((await world.say('ola', 'names: Mia, Sam')).map(linesOf)).toEqual([['Noted: Mia and Sam.']]);
  await world.say('ola', 'names: Sam');
  expect(await members(world)).toEqual([['Ola', 'ola', 'owner'], ['Mia', null, 'bar'], ['Sam', null, 'bar']]);
});

test('a bar phone has bar rights whoever holds it, even an owner\'s account', async () => {
  const { world, page } = await people();
  const till = await openPerson(world, await world.pick('ola', page, 'Let more people answer', { till: 'Till' }), 'Till');
  const owner = await world.tap('ola', till, 'Make owner');
  expect(linesOf(owner)).toEqual(['Till: owner.']);
  expect(await rights(world, 'till', ['bar'])).toContain('own');
  const phone = await world.tap('ola', owner, 'Bar phone');
  expect(linesOf(phone)).toEqual(['Till: bar phone.', 'A shared phone: it may answer jobs, and nothing more.', 'Please do not stay signed in as owner there.']);
  expect(await rights(world, 'till', ['bar'])).toEqual(['see', 'answer']);
  expect(linesOf(await world.tap('till', phone, 'Make owner'))).toEqual(['That is for the owner of this café. I have changed nothing.']);
  expect(labelsOf(await world.command('till', 'cafe'))).toEqual([]);
});

test('the last owner can neither be removed nor made less, whatever is pressed', async () => {
  const { world, page } = await people();
  const ola = await openPerson(world, page, 'Ola');
  for (const label of ['Bar only', 'Bar phone', 'Remove']) expect(linesOf(await world.tap('ola', ola, label))[0]).toBe('The last owner stays. Make somebody else owner first.');
  await world.tap('ola', await openPerson(world, await world.pick('ola', page, 'Let more people answer', { mia: 'Mia' }), 'Mia'), 'Make owner');
  expect(linesOf(await world.tap('ola', ola, 'Remove'))[0]).toBe('Ola is removed.');
  expect(await members(world)).toEqual([['Mia', 'mia', 'owner']]);
  expect(linesOf(await world.tap('ola', ola, 'Remove'))).toEqual(['That is for the owner of this café. I have changed nothing.']);
});

test('the role of the bar can be changed and switched off; rights follow at once', async () => {
  const { world, page } = await people();
  expect(await rights(world, 'sam', ['bar'])).toContain('answer');
  const off = await world.tap('ola', page, 'Role off');
  expect(linesOf(off)[1]).toBe('Owner: Ola');
  expect(await rights(world, 'sam', ['bar'])).toEqual([]);
  await world.pick('ola', off, 'A role of this server', { crew: 'crew' });
  expect(await rights(world, 'sam', ['crew'])).toContain('answer');
});

test('more people than a list can hold are paged', async () => {
  const { world } = await people();
  const { id } = await cafeNow(world);
  await world.tx(async (tx) => {
    for (let n = 0; n < 60; n++) await tx.insertInto('member').values({ id: world.needs.ids(world.now()), cafe: id, person: null, name: `Person ${n}`, role: 'bar', direct_ok: 0, created_at: world.now() }).execute();
  });
  const page = await world.tap('ola', await world.command('ola', 'cafe'), 'People');
  const second = await world.pick('ola', page, 'Change somebody', { 'page.1': 'More of the list' });
  expect(linesOf(await openPerson(world, second, 'Person 30'))[0]).toBe('Person 30: first name, no account.');
});
