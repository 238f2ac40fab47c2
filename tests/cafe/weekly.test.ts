import { expect, test } from 'vitest';
import { seedDemo } from '../../src/cafe/demo.ts';
import { cafesAt, machinesOf } from '../../src/cafe/records.ts';
import { houseOf } from '../../src/cafe/house.ts';
import { unknowns } from '../../src/cafe/set-up.ts';
import { days } from '../../src/time/instant.ts';
import { begin, walkTo } from './walk.ts';
import { BAR, directTo, labelsOf, linesOf, openWorld, type World } from './world.ts';

const DIRECT = directTo('ola');

/** Ola's café at work, with her yes to be written to. */
const agreed = async (): Promise<World> => {
  const world = await openWorld();
  await world.tap('ola', await walkTo(world, 'live'), 'Yes, call us');
  return world;
};
const nextQuestion = async (world: World, afterDays = 9) => {
  await world.pass(days(afterDays));
  const [only, ...more] = (await world.posted()).filter(({ kind }) => kind === 'cafe.question');
  expect(more).toEqual([]);
  return only;
};
const cafeNow = (world: World) => world.tx(async (tx) => (await cafesAt(tx, BAR))[0]);
const machineNow = async (world: World) => {
  const cafe = await cafeNow(world);
  return world.tx(async (tx) => (await machinesOf(tx, cafe?.id ?? ''))[0]);
};

test('one question a week, in the quiet hour, directly to the owner who agreed', async () => {
  const world = await agreed();
  await world.pass(days(1.9));
  expect(await world.posted()).toEqual([]);
  const first = await nextQuestion(world, 1);
  expect(first?.place).toBe(DIRECT);
  expect(first && linesOf(first.message)).toEqual(['Which size stands on the group seals, in millimetres?', 'It is printed on the ring. Often 8, 8.5 or 7.']);
  expect(first && labelsOf(first.message)).toEqual(['8 mm', '8.5 mm', '7 mm', '6 mm', 'Write it', 'Ask the bar', 'Not now']);
  const timer = await world.tx((tx) => tx.selectFrom('timer').select('at').where('kind', '=', 'cafe.weekly-question').where('active', '=', 1).executeTakeFirstOrThrow());
  expect(new Date(timer.at).toISOString()).toBe('2027-03-19T14:00:00.000Z');
  const second = await nextQuestion(world, 8);
  expect(second && linesOf(second.message)[0]).toBe('How hard is the water that goes into the machine?');
});

test('an answer by button is stored once; a second press shows what is known', async () => {
  const world = await agreed();
  const question = await nextQuestion(world);
  if (!question) throw new Error('no question');
  const press = async () => world.tap('ola', question.message, '8 mm', DIRECT);
  expect(linesOf(await press())).toEqual(['Noted. Seal size: 8 mm']);
  const other = await world.tap('ola', question.message, '7 mm', DIRECT);
  expect(linesOf(other)).toEqual(['Noted. Seal size: 8 mm']);
  expect((await machineNow(world))?.facts).toBe('{"seal":8}');
  expect(world.changed).toHaveLength(1);
});

test('typed words in direct messages answer it; what is no answer is left to others', async () => {
  const world = await agreed();
  await nextQuestion(world);
  expect((await world.say('ola', 'the left group drips', DIRECT)).map((each) => linesOf(each)[0])).toEqual(['I did not understand that. Say what is wrong, or write /help.']);
  expect((await world.say('ola', '8.5 mm', DIRECT)).map(linesOf)).toEqual([['Noted. Seal size: 8.5 mm']]);
  expect((await machineNow(world))?.facts).toBe('{"seal":8.5}');
  expect((await world.say('ola', '7', DIRECT)).map((each) => linesOf(each)[0])).toEqual(['I did not understand that. Say what is wrong, or write /help.']);
});

test('ask the bar: the question goes into the channel, and anyone there may answer it', async () => {
  const world = await agreed();
  const question = await nextQuestion(world);
  if (!question) throw new Error('no question');
  expect(linesOf(await world.tap('ola', question.message, 'Ask the bar', DIRECT))).toEqual(['I have asked the bar in its channel.']);
  const [atBar] = await world.posted();
  if (!atBar) throw new Error('nothing in the channel');
  expect(atBar.place).toBe(BAR);
  expect(labelsOf(atBar.message)).not.toContain('Ask the bar');
  const [problem] = await world.say('mia', 'no idea about that thing', BAR, { replyTo: atBar.id });
  expect(problem && linesOf(problem)[0]).toBe('I need one number from 4 to 12. For example: 8');
  expect((await world.say('stranger', '8', BAR, { replyTo: atBar.id })).map((each) => linesOf(each)[0])).toEqual(['I did not understand that. Say what is wrong, or write /help.']);
  expect((await world.say('mia', '8', BAR, { replyTo: atBar.id })).map(linesOf)).toEqual([['Noted. Seal size: 8 mm']]);
  const row = await world.tx((tx) => tx.selectFrom('outbox').selectAll().where('id', '=', atBar.id).executeTakeFirstOrThrow());
  expect(row.version).toBeGreaterThan(row.shown_version);
});

test('a price is the owner\'s to tell, also when the question stands in the channel for all to see', async () => {
  const world = await openWorld();
  await world.tap('ola', await walkTo(world, 'live'), 'No');
  await nextQuestion(world);
  await nextQuestion(world);
  const price = await nextQuestion(world);
  if (!price) throw new Error('no question');
  expect(price.place).toBe(BAR);
  expect(linesOf(price.message)[0]).toBe("What does a technician's visit cost before any work?");
  const refused = await world.fill('mia', await world.open('mia', price.message, 'Write it'), { text: '90' });
  expect(linesOf(refused)).toEqual(['That is for the owner of this café. I have changed nothing.']);
  expect(await world.say('mia', '90', BAR, { replyTo: price.id })).toHaveLength(1);
  expect((await cafeNow(world))?.money).toBe('{}');
  expect(linesOf(await world.write('ola', price.message, 'Write it', '120'))).toEqual(['Noted. Call-out fee: €120']);
});

test('four weeks without an answer and it is silent; an answer to an old question starts it again', async () => {
  const world = await agreed();
  const first = await nextQuestion(world);
  for (let week = 2; week <= 4; week++) expect(await nextQuestion(world)).toBeDefined();
  for (let week = 5; week <= 12; week++) expect(await nextQuestion(world)).toBeUndefined();
  await world.tap('ola', first!.message, '8 mm', DIRECT);
  expect(linesOf((await nextQuestion(world, 9))!.message)[0]).toBe('Where is the tap that shuts the machine\'s water off?');
});

test('"not now" passes to the next matter and comes back once, then rests', async () => {
  const world = await agreed();
  const seen: string[] = [];
  for (let week = 0; week < 60; week++) {
    const question = await nextQuestion(world);
    if (!question) break;
    seen.push(linesOf(question.message)[0] ?? '');
    expect(linesOf(await world.tap('ola', question.message, 'Not now', DIRECT))).toEqual(['Fine. I ask again another week.']);
  }
  const times = new Map(seen.map((each) => [each, seen.filter((other) => other === each).length]));
  expect([...new Set(times.values())]).toEqual([2]);
  const cafe = await cafeNow(world);
  const house = await world.tx((tx) => houseOf(tx, cafe?.id ?? ''));
  expect(new Set(seen).size).toBe(house && unknowns(house).length);
  expect(await nextQuestion(world, 60)).toBeUndefined();
});

test('hours that were put off are asked first, read, and shown before they count', async () => {
  const world = await openWorld();
  let at = await begin(world);
  for (const label of ['Yes', 'Later', '1', 'No lever', 'Yes', 'Only me for now', 'Later', '112 is right', 'Not yet', 'Start', 'Yes, call us']) at = await world.tap('ola', at, label);
  const question = await nextQuestion(world, 3);
  if (!question) throw new Error('no question');
  expect(linesOf(question.message)[0]).toBe('When are you open? Write it as on your door.');
  const check = await world.write('ola', question.message, 'Write hours', 'daily 9-17', DIRECT);
  expect(linesOf(check)[0]).toBe('Every day 9:00 to 17:00.');
  expect((await cafeNow(world))?.hours).toBeNull();
  await world.tap('ola', check, "That's it", DIRECT);
  expect((await cafeNow(world))?.hours).toContain('540');
});

test('the invented café: its open questions start with what its machine drinks', async () => {
  const world = await openWorld();
  await world.tx((tx) => seedDemo(tx, world.needs.ids, world.now(), world.needs.onLive));
  const question = await nextQuestion(world, 3);
  expect(question?.place).toBe(DIRECT);
  expect(question && linesOf(question.message)[0]).toBe('How hard is the water that goes into the machine?');
});
