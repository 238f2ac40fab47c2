import { expect, test } from 'vitest';
import { cafesAt, machinesOf, membersOf } from '../../src/cafe/records.ts';
import { asked, begin, walkTo } from './walk.ts';
import { BAR, directTo, labelsOf, linesOf, openWorld, type World } from './world.ts';

const one = async (world: World, who: string, text: string, at = BAR) => {
  const [reply, ...more] = await world.say(who, text, at);
  if (!reply || more.length > 0) throw new Error(`${more.length + (reply ? 1 : 0)} answers to "${text}"`);
  return reply;
};

test('the whole set-up in typed words alone, from the first word to the start', async () => {
  const world = await openWorld();
  await one(world, 'ola', 'set up the café');
  expect(linesOf(await one(world, 'ola', 'start'))[0]).toBe('What is the café called, and in which town?');
  expect(linesOf(await one(world, 'ola', 'Lantern Street, Valencia'))).toEqual(['Valencia. Is it 14:02 there now?']);
  expect(asked(await one(world, 'ola', 'yes'))).toBe('hours');
  expect(linesOf(await one(world, 'ola', 'tue-sun 8-22:30, closed mon'))[1]).toBe('Cleaning starts 30 minutes before: 22:00.');
  expect(asked(await one(world, 'ola', "that's it"))).toBe('groups');
  expect(asked(await one(world, 'ola', 'two groups'))).toBe('lever');
  expect(asked(await one(world, 'ola', 'no'))).toBe('exhaust');
  expect(asked(await one(world, 'ola', 'not sure'))).toBe('bar');
  expect(asked(await one(world, 'ola', 'names: Mia, Sam'))).toBe('switch');
  expect(asked(await one(world, 'ola', 'black switch under the till'))).toBe('emergency');
  expect(asked(await one(world, 'ola', 'yes'))).toBe('technician');
  expect(asked(await one(world, 'ola', 'Ana, 555 0134'))).toBe('ready');
  expect(linesOf(await one(world, 'ola', 'start tonight'))[0]).toBe('All set. I write next at 22:00. To change anything: /cafe');
  expect(linesOf(await one(world, 'ola', 'yes'))[0]).toBe('Noted. In danger I call you and the bar by name.');
  await world.tx(async (tx) => {
    const [cafe] = await cafesAt(tx, BAR);
    expect(cafe).toMatchObject({ loud_danger: 1, state: 'live', switch_off: 'black switch under the till', emergency: '112' });
    expect((await machinesOf(tx, cafe?.id ?? ''))[0]).toMatchObject({ groups: 2, lever: 'no', exhaust: null });
    expect((await membersOf(tx, cafe?.id ?? '')).map(({ name, person, role }) => [name, person, role])).toEqual([['Ola', 'ola', 'owner'], ['Mia', null, 'bar'], ['Sam', null, 'bar']]);
  });
});

test.each([
  ['tue-sun eight-ish', 'I do not know "eight". For example: tue-sun 8-22:30'],
  ['tue-sun 8', 'After 8, when do you close? For example: 8-22:30'],
  ['mon-fri 8-5', '"8-5": morning or evening? For example: 8-17 or 8am-5pm'],
  ['closed', 'That is closed all week. For example: tue-sun 8-22:30'],
  ['tue 8-25:99', /^"25:99" is no time I know/],
])('hours that cannot be read, "%s", get the reason, an example and the question again', async (text, reason) => {
  const world = await openWorld();
  await walkTo(world, 'hours');
  const reply = await one(world, 'ola', text);
  expect(linesOf(reply)[0]).toEqual(reason instanceof RegExp ? expect.stringMatching(reason) : reason);
  expect(asked(reply)).toBe('hours');
  expect(await world.tx(async (tx) => (await cafesAt(tx, BAR))[0]?.hours)).toBeNull();
});

test('hours in two parts, past midnight and different by day are shown whole before they count', async () => {
  const world = await openWorld();
  await walkTo(world, 'hours');
  expect(linesOf(await one(world, 'ola', 'mon-thu 8-12, 14-20; fri-sat 18-2'))).toEqual(['Mon to Thu 8:00 to 12:00 and 14:00 to 20:00,', 'Fri, Sat 18:00 to 2:00, Sunday closed.', 'Cleaning starts 30 minutes before closing.']);
});

test('another start of the cleaning, by button, minutes or the clock, then the hours once more', async () => {
  const world = await openWorld();
  const check = await world.write('ola', await walkTo(world, 'hours'), 'Write hours', 'tue-sun 8-22:30');
  const cleaning = await world.tap('ola', check, 'Other start');
  expect(linesOf(cleaning)[0]).toBe('How long before closing does the cleaning start?');
  expect(linesOf(await world.tap('ola', cleaning, '45 minutes'))[1]).toBe('Cleaning starts 45 minutes before: 21:45.');
  await world.tap('ola', check, 'Other start');
  expect(linesOf(await one(world, 'ola', '21:30'))[1]).toBe('Cleaning starts 60 minutes before: 21:30.');
  await world.tap('ola', check, 'Other start');
  expect(linesOf(await one(world, 'ola', '8 in the morning'))[0]).toBe('I cannot read that. For example: 45 minutes, or 21:45.');
  const back = await world.tap('ola', cleaning, 'Back');
  expect(linesOf(back)[0]).toBe('Tue to Sun 8:00 to 22:30, Monday closed.');
  expect(asked(await world.tap('ola', back, "That's it"))).toBe('groups');
  expect(await world.tx(async (tx) => (await cafesAt(tx, BAR))[0])).toMatchObject({ cleaning_before: 60, step: 'groups', pending: null });
});

test('a town nobody knows: the clock on the wall finds the zone, at most five offered, then the nearest city', async () => {
  const world = await openWorld();
  const clock = await begin(world, BAR, 'Quiet Corner', 'Little Nowhere');
  expect(linesOf(clock)).toEqual(['What time is it at the café now?', 'Write it as on the clock, for example 14:02.']);
  const several = await one(world, 'ola', '14:03');
  expect(linesOf(several)).toEqual(['The clock fits several countries. Which one is it?']);
  const rows = several.rows?.[0];
  expect(rows && 'from' in rows && typeof rows.from !== 'string' ? rows.from.map(({ label }) => label) : []).toEqual(['Spain', 'Germany', 'Austria', 'Switzerland', 'Italy']);
  const city = await world.tap('ola', several, 'None of these');
  expect(linesOf(city)[0]).toBe('Then tell me the nearest big city, or the country.');
  const check = await one(world, 'ola', 'Copenhagen');
  expect(linesOf(check)).toEqual(['Little Nowhere. Is it 14:02 there now?']);
  expect(asked(await world.tap('ola', check, 'Yes'))).toBe('hours');
  expect(await world.tx(async (tx) => (await cafesAt(tx, BAR))[0])).toMatchObject({ zone: 'Europe/Copenhagen', country: 'DK', currency: 'DKK' });
});

test('the guess is wrong: other time, then a country picked from the list', async () => {
  const world = await openWorld();
  const guess = await begin(world, BAR, 'Lantern Street', 'Birmingham');
  expect(linesOf(guess)).toEqual(['Birmingham. Is it 13:02 there now?']);
  const clock = await world.tap('ola', guess, 'Other time');
  expect(linesOf(clock)[0]).toBe('What time is it at the café now?');
  const check = await one(world, 'ola', '08:02');
  const picked = await world.pick('ola', check, 'Country', { 'US|America/New_York': 'United States' });
  expect(asked(picked)).toBe('hours');
  expect(await world.tx(async (tx) => (await cafesAt(tx, BAR))[0])).toMatchObject({ zone: 'America/New_York', country: 'US' });
});

test('a country without a number of ours: the number is asked for in words, and may wait', async () => {
  const world = await openWorld();
  await begin(world, BAR, 'Lantern Street', 'Ulaanbaatar');
  await one(world, 'ola', 'yes');
  await one(world, 'ola', 'later');
  await one(world, 'ola', '1');
  await one(world, 'ola', 'no lever');
  await one(world, 'ola', 'no');
  await one(world, 'ola', 'only me');
  const number = await one(world, 'ola', 'later');
  expect(linesOf(number)).toContain('Which number do you call if there is a fire?');
  expect(labelsOf(number)).toContain('Later');
  expect(linesOf(await one(world, 'ola', 'the fire brigade'))[0]).toBe('I see no number in that. For example: 112 or 555 0134');
  expect(asked(await one(world, 'ola', '101'))).toBe('technician');
});

test('a needed answer cannot be put off, and says so', async () => {
  const world = await openWorld();
  await walkTo(world, 'groups');
  const reply = await one(world, 'ola', 'later');
  expect(linesOf(reply)[0]).toBe('I need this one for the list. A short answer will do.');
  expect(asked(reply)).toBe('groups');
});

test('a lever machine is not asked about its valve, and never backflushed', async () => {
  const world = await openWorld();
  const message = await world.tap('ola', await walkTo(world, 'lever'), 'Lever');
  expect(asked(message)).toBe('bar');
  expect(asked(await world.tap('ola', message, 'Back'))).toBe('lever');
});

test('colleagues talking in the channel do not answer the set-up, and the owner only when speaking to the bot', async () => {
  const world = await openWorld();
  await walkTo(world, 'switch');
  expect(await world.say('ola', 'Mia can you do Friday', BAR, { addressed: false })).toEqual([]);
  await world.say('mia', 'sure, under the till');
  expect(await world.tx(async (tx) => (await cafesAt(tx, BAR))[0]?.switch_off)).toBeNull();
});

test('half-way interrupted, the question comes again after something else was answered', async () => {
  const world = await openWorld();
  await walkTo(world, 'groups');
  const [data, again] = await world.say('ola', 'my data');
  expect(data && linesOf(data)[0]).toBe('I know you by the name Ola.');
  expect(again && asked(again)).toBe('groups');
});

test('someone who does not manage the server is told who can, also in direct messages', async () => {
  const world = await openWorld();
  expect(linesOf(await world.command('mia', 'cafe'))[0]).toBe('Set-up is for whoever manages this server.');
  expect(linesOf(await world.command('ola', 'cafe', directTo('ola')))).toEqual(['Write /cafe in the channel of your bar, then I start there.']);
  const welcome = await world.command('ola', 'cafe');
  const press = welcome.rows?.[0];
  if (!press || !Array.isArray(press) || !press[0] || !('press' in press[0])) throw new Error('no start');
  const refused = await world.raw({ kind: 'press', press: press[0].press }, 'mia');
  expect(refused?.kind).toBe('private');
  await world.raw({ kind: 'answers', press: { kind: 'cafe.begun', ids: ['en'] }, answers: { name: ['Mine'], town: ['Here'] } }, 'mia');
  expect(await world.tx((tx) => cafesAt(tx, BAR))).toEqual([]);
});

test('the form of the name sent twice makes one café', async () => {
  const world = await openWorld();
  const form = await world.open('ola', await world.command('ola', 'cafe'), 'Start');
  const both = await Promise.all([1, 2].map(() => world.fill('ola', form, { name: 'Lantern Street', town: 'Valencia' })));
  expect(both.map((each) => asked(each))).toEqual(['zone', 'zone']);
  expect(await world.tx((tx) => cafesAt(tx, BAR))).toHaveLength(1);
});

test('an empty name and an endless one are kept within bounds', async () => {
  const world = await openWorld();
  const form = await world.open('ola', await world.command('ola', 'cafe'), 'Start');
  const message = await world.fill('ola', form, { name: '  ', town: 'Valencia' });
  expect(linesOf(message)[0]).toMatch(/name/);
  await world.fill('ola', form, { name: 'Lantern '.repeat(100), town: 'x'.repeat(3000) });
  const [cafe] = await world.tx((tx) => cafesAt(tx, BAR));
  expect(cafe?.name.length).toBeLessThanOrEqual(60);
  expect(cafe?.town.length).toBeLessThanOrEqual(60);
});

test('asked at the desk, told at the machine: the bar gets the question and the set-up goes on', async () => {
  const world = await openWorld();
  const next = await world.tap('ola', await walkTo(world, 'switch'), 'Ask the bar');
  expect(linesOf(next)[0]).toBe('I have asked the bar in its channel.');
  expect(asked(next)).toBe('emergency');
  const [question] = await world.posted();
  if (!question) throw new Error('nothing in the channel');
  expect(linesOf(question.message)[0]).toBe('If it ever smells of burning: what switches the machine off?');
  expect((await world.say('sam', 'red switch behind the grinder', BAR, { replyTo: question.id })).map(linesOf)).toEqual([['Noted. Off switch: red switch behind the grinder']]);
  expect(world.changed, 'nothing is reckoned for a café that is not at work').toEqual([]);
  expect(await world.tx(async (tx) => (await cafesAt(tx, BAR))[0])).toMatchObject({ switch_off: 'red switch behind the grinder', step: 'emergency' });
  expect(labelsOf(await world.tap('ola', next, 'Back'))).toContain('Keep as it is');
});
