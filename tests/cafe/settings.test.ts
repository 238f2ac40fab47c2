import { expect, test } from 'vitest';
import { createWords, readTexts } from '../../src/words/catalogue.ts';
import { optionLabel } from '../../src/cafe/option-label.ts';
import { FACTS } from '../../src/cafe/facts.ts';
import { cafesAt, groupsOf, machinesOf } from '../../src/cafe/records.ts';
import { changeable, changeableOfMachine } from '../../src/cafe/set-up.ts';
import { isChoice, type Message } from '../../src/chat/message.ts';
import { channel } from '../../src/chat/who.ts';
import { begin, walkTo } from './walk.ts';
import { BAR, directTo, labelsOf, linesOf, openWorld, type World } from './world.ts';

const live = async (): Promise<{ readonly world: World; readonly settings: Message }> => {
  const world = await openWorld();
  await walkTo(world, 'live');
  return { world, settings: await world.command('ola', 'cafe') };
};
const cafeNow = (world: World) => world.tx(async (tx) => (await cafesAt(tx, BAR))[0]);
const optionsOn = (message: Message): readonly string[] => (message.rows ?? []).flatMap((row) => (isChoice(row) && typeof row.from !== 'string' ? row.from.map(({ value }) => value) : []));
const choose = (world: World, on: Message, value: string, at = BAR): Promise<Message> => world.pick('ola', on, 'Pick what to change', { [value]: value }, at);

test('/cafe at work shows what comes next, what is not known, and one list of all that can be changed', async () => {
  const { world, settings } = await live();
  expect(linesOf(settings)).toEqual(['Lantern Street. Next closing list: 22:00.', 'Not known yet: seal sizes, water, prices. One a week will do.', 'What shall we change?']);
  const second = await choose(world, settings, 'page.1');
  const all = [...optionsOn(settings), ...optionsOn(second)];
  expect(changeable(['en'], []).filter(({ key }) => key !== 'bar' && !all.includes(key))).toEqual([]);
  expect(all.some((value) => /^machine\.\w{14}$/.test(value))).toBe(true);
  expect([...changeable(['en', 'es'], ['BY']), ...changeableOfMachine].length).toBe(FACTS.length);
});

test('the hours changed: read, shown, told right; the routine reckons anew only then', async () => {
  const { world, settings } = await live();
  const ask = await choose(world, settings, 'hours');
  expect(linesOf(ask)).toEqual(['When are you open? Write it as on your door.', 'For example: tue-sun 8-22:30', expect.stringMatching(/^Now: Tue to Sun 8:00 to 22:30/)]);
  const check = await world.write('ola', ask, 'Write hours', 'every day 9-18');
  expect(world.changed).toEqual([]);
  const done = await world.tap('ola', check, "That's it");
  expect(linesOf(done)[0]).toBe('Noted. Opening hours: Every day 9:00 to 18:00.');
  expect(world.changed).toHaveLength(1);
  const again = await world.tap('ola', check, "That's it");
  expect(linesOf(again)[0]).toBe('Lantern Street. Next closing list: 22:00.');
  expect(world.changed).toHaveLength(1);
});

test('a change begun and left changes nothing, and its old button does nothing later', async () => {
  const { world, settings } = await live();
  const ask = await choose(world, settings, 'emergency');
  const before = await cafeNow(world);
  expect(linesOf(await world.tap('ola', ask, 'Leave it'))).toEqual(['Left as it is.']);
  expect(await cafeNow(world)).toEqual(before);
  await world.tap('ola', await choose(world, await world.command('ola', 'cafe'), 'night'), 'Off at night');
  const stale = await world.tap('ola', ask, '112 is right');
  expect(linesOf(stale).at(-1)).toBe('What shall we change?');
});

test('"change the hours" in words asks, and words answer', async () => {
  const { world } = await live();
  const [ask] = await world.say('ola', 'change the hours');
  expect(ask && linesOf(ask)[0]).toBe('When are you open? Write it as on your door.');
  const [check] = await world.say('ola', 'tue-sat 10-18');
  expect(check && linesOf(check)[0]).toBe('Tue to Sat 10:00 to 18:00, Mon, Sun closed.');
  const [done] = await world.say('ola', 'yes');
  expect(done && linesOf(done)[0]).toBe('Noted. Tue to Sat 10:00 to 18:00, Mon, Sun closed.');
  expect((await world.say('mia', 'change the hours')).map((each) => linesOf(each)[0])).toEqual(['That is for the owner of this café. I have changed nothing.']);
});

test('hours of holidays, told with the others, are shown, count for every holiday, and stay when the others change', async () => {
  const { world, settings } = await live();
  const noted = await world.write('ola', await choose(world, settings, 'hours'), 'Write hours', 'mon-sat 8-18, holidays 10-14');
  expect(linesOf(noted).slice(0, 2)).toEqual(['Mon to Sat 8:00 to 18:00, Sunday closed,', 'holidays 10:00 to 14:00.']);
  await world.tap('ola', noted, "That's it");
  expect(await cafeNow(world)).toMatchObject({ holiday_rule: 'week', hours: expect.stringContaining('"holidays":[{"from":600,"to":840}]') as string });
  const again = await world.write('ola', await choose(world, await world.command('ola', 'cafe'), 'hours'), 'Write hours', 'mon-fri 9-17');
  await world.tap('ola', again, "That's it");
  expect(await cafeNow(world)).toMatchObject({ holiday_rule: 'week', hours: expect.stringContaining('"holidays":[{"from":600,"to":840}]') as string });
});

test.each([
  ['callOut', '120 euros', 'Noted. Call-out fee: €120', { money: '{"callOut":120}' }],
  ['outOfHoursExtra', '60', 'Noted. Out-of-hours extra: €60', { money: '{"outOfHoursExtra":60}' }],
  ['cancelFee', '0', 'Noted. Calling off: €0', { money: '{"cancelFee":0}' }],
  ['margin', '1,80', 'Noted. Margin of a drink: €2', { money: '{"margin":1.8}' }],
  ['breaker', 'grey box in the corridor', 'Noted. Breaker: grey box in the corridor', { breaker: 'grey box in the corridor' }],
  ['quiet', 'mon-fri 15-17', 'Noted. Quiet hours: Mon to Fri 15:00 to 17:00.', {}],
  ['rush', 'none', 'Noted. Rush hours: none', {}],
  ['closures', '24-26 dec closed; 31 dec 8-14', 'Noted. Fri 24 Dec to Sun 26 Dec closed, Fri 31 Dec 8:00 to 14:00', {}],
  ['closures', '30 dec closed; 27-29 dec closed; 28 dec 8-9', 'Noted. Mon 27 Dec to Thu 30 Dec closed, Tue 28 Dec 8:00 to 9:00', {}],
  ['closures', '28 dec 8-14; 27-29 dec closed', 'Noted. Days closed: Mon 27 Dec to Wed 29 Dec closed', {}],
  ['closures', 'closed tomorrow', 'Noted. Days closed: Wed 10 Mar closed', { exceptions: '[{"kind":"closed","from":"2027-03-10","to":"2027-03-10"}]' }],
  ['currency', 'chf', 'Noted. Currency: CHF', { currency: 'CHF' }],
  ['poison', '555 01 99', 'Noted. Poison line: 555 01 99', { poison_line: '555 01 99' }],
])('%s is changed by words', async (key, text, noted, stored) => {
  const { world, settings } = await live();
  expect(linesOf(await world.write('ola', await choose(world, settings, key), 'Write it', text))[0]).toBe(noted);
  expect(await cafeNow(world)).toMatchObject(stored);
});

test.each([
  ['callOut', '-5 to 10'],
  ['callOut', '99999'],
  ['callOut', 'a lot'],
  ['currency', 'zzz'],
  ['closures', '5/4 closed'],
  ['closures', '24 dec closed; christmas'],
  ['closures', '24-26 dec 8-14'],
  ['poison', 'ask the doctor'],
])('%s: "%s" is not taken', async (key, text) => {
  const { world, settings } = await live();
  const before = await cafeNow(world);
  expect(linesOf(await world.write('ola', await choose(world, settings, key), 'Write it', text))[0]).toMatch(/^I (need|see|cannot)/);
  expect(await cafeNow(world)).toEqual(before);
});

test('a further machine, its facts, and fewer groups', async () => {
  const { world, settings } = await live();
  const added = await world.tap('ola', await choose(world, settings, 'machine.add'), '1');
  expect(linesOf(added).slice(0, 2)).toEqual(['Machine 2 is added.', 'Machine 2, one group.']);
  const cafe = (await cafeNow(world))?.id ?? '';
  const machines = await world.tx((tx) => machinesOf(tx, cafe));
  expect(machines.map(({ groups, lever, exhaust }) => [groups, lever, exhaust])).toEqual([[2, 'no', 'yes'], [1, null, null]]);
  const second = machines[1]?.id ?? '';
  const kind = await world.tap('ola', await choose(world, added, `kind.${second}`), 'Lever');
  expect(linesOf(kind).slice(0, 2)).toEqual(['Noted. Kind of machine: Lever', 'Machine 2, one group.']);
  await world.tap('ola', await choose(world, kind, `groups.${second}`), '3');
  expect((await world.tx((tx) => groupsOf(tx, second))).map(({ number }) => number)).toEqual([1, 2, 3]);
  await world.tap('ola', await choose(world, await choose(world, await world.command('ola', 'cafe'), `machine.${second}`), `groups.${second}`), '2');
  expect((await world.tx((tx) => groupsOf(tx, second))).map(({ number }) => number)).toEqual([1, 2]);
  expect((await world.tx((tx) => machinesOf(tx, cafe)))[0]).toMatchObject({ kind: null });
});

test('reminders rest and come back', async () => {
  const { world, settings } = await live();
  const paused = await world.tap('ola', settings, 'Pause reminders');
  expect(linesOf(paused)[0]).toBe('Lantern Street. Reminders rest.');
  await world.tap('ola', settings, 'Pause reminders');
  expect((await cafeNow(world))?.state).toBe('paused');
  await world.tap('ola', paused, 'Remind again');
  expect((await cafeNow(world))?.state).toBe('live');
  expect(world.changed).toHaveLength(2);
});

test('a café is removed after one question, its buttons do nothing more, and another can begin there', async () => {
  const { world, settings } = await live();
  const ask = await choose(world, settings, 'remove');
  expect(linesOf(ask)).toEqual(['Remove Lantern Street from here?', 'I stop reminding, and write here no more.']);
  await world.tap('ola', ask, 'Keep the café');
  expect(linesOf(await world.tap('ola', ask, 'Remove the café'))[0]).toBe('Lantern Street is removed. I write here no more.');
  expect(linesOf(await world.tap('ola', settings, 'Pause reminders'))[0]).toBe('That is for the owner of this café. I have changed nothing.');
  expect(linesOf(await world.command('ola', 'cafe'))[0]).toMatch(/^Hello/);
});

test('two cafés of one owner in one server: each channel has its own, direct messages ask which', async () => {
  const { world } = await live();
  const second = channel('north');
  const welcome = await world.command('ola', 'cafe', second);
  expect(labelsOf(welcome)).toEqual(['Start', 'Other language', 'My cafés']);
  await begin(world, second, 'North Pier', 'Bilbao');
  expect(linesOf(await world.command('ola', 'cafe', second))[0]).toBe('Bilbao. Is it 14:02 there now?');
  expect(linesOf(await world.command('ola', 'cafe', BAR))[0]).toBe('Lantern Street. Next closing list: 22:00.');
  const which = await world.command('ola', 'cafe', directTo('ola'));
  expect(linesOf(which)).toEqual(['Which café do you mean?']);
  const [north] = await world.tx((tx) => cafesAt(tx, second));
  const opened = await world.pick('ola', which, 'Café', { [north?.id ?? '']: 'North Pier' }, directTo('ola'));
  expect(linesOf(opened)[0]).toBe('Bilbao. Is it 14:02 there now?');
  await world.tap('ola', opened, 'Yes', directTo('ola'));
  expect((await world.tx((tx) => cafesAt(tx, second)))[0]?.step).toBe('hours');
  expect((await cafeNow(world))?.state).toBe('live');
});

test('the bar sees the facts and changes none; a stranger sees nothing', async () => {
  const { world } = await live();
  const seen = await world.command('mia', 'cafe');
  expect(linesOf(seen)).toEqual(['Lantern Street, Valencia.', expect.stringMatching(/^Opening hours: Tue to Sun/), 'Off switch: black switch under the till marked COFFEE', 'Only the owner can change this.']);
  expect(labelsOf(seen)).toEqual([]);
  expect(linesOf(await world.command('stranger', 'cafe'))).toEqual(['I know no café of yours here.']);
});

test('the test arrives, and ten minutes later only says that it worked', async () => {
  let sent: () => Promise<void> = async () => undefined;
  const world = await openWorld({ drain: () => sent() });
  const ready = await walkTo(world, 'ready');
  let shown: readonly string[] = [];
  sent = async () => {
    shown = (await world.posted()).flatMap(({ message, place }) => [place, ...linesOf(message)]);
  };
  const answer = await world.tap('ola', ready, 'Show a test');
  expect(linesOf(answer)[0]).toBe('The test has arrived in the channel.');
  expect(shown).toEqual([BAR, 'Test', 'Lantern Street: I can write here.', 'backflush, brush seals, soak baskets, wands and tray.', "Tonight's list looks like this. Nothing to do now."]);
  expect(labelsOf(answer)).toContain('Start tonight');
  await world.pass(11 * 60_000);
  const row = await world.tx((tx) => tx.selectFrom('outbox').selectAll().where('key', 'like', 'cafe.test-message.%').executeTakeFirstOrThrow());
  expect(row.redraw_at).toBe(world.now());
});

test.each([
  ['no-permission', 'I may not write there: Channel settings, Permissions, add me.'],
  ['channel-gone', 'That channel is gone. Pick another one below.'],
  ['archived', 'That channel is archived. Open it again, then test once more.'],
  ['unreadable', 'The chat refused the test. Check the channel, then try again.'],
])('the chat refuses the test (%s): the owner reads what to do about it', async (why, told) => {
  let refuse: () => Promise<void> = async () => undefined;
  const world = await openWorld({ drain: () => refuse() });
  await walkTo(world, 'live');
  refuse = () => world.tx(async (tx) => void (await tx.updateTable('outbox').set({ state: 'failed', trouble: why }).where('key', 'like', 'cafe.test-message.%').execute()));
  expect(linesOf(await world.tap('ola', await world.command('ola', 'cafe'), 'Show a test'))[0]).toBe(told);
});

test('every option of every fact has a label that fits a button, and every fact its question, example and name', () => {
  const say = createWords(readTexts('config/words')).in('en');
  for (const fact of FACTS) {
    for (const key of ['ask', 'hint', 'fact']) expect(say(`cafe.${key}.${fact.key}`, { town: 'Valencia' })).not.toBe('');
    expect(say(`cafe.fact.${fact.key}`).length).toBeLessThanOrEqual(20);
    for (const option of fact.options) expect(optionLabel(fact, option, say, 'en').length, `${fact.key} ${option}`).toBeLessThanOrEqual(20);
  }
});

test('what others keep beside the facts of a machine survives a change', async () => {
  const { world, settings } = await live();
  const cafe = (await cafeNow(world))?.id ?? '';
  await world.tx((tx) => tx.updateTable('machine').set({ facts: '{"coolMinutes":300}' }).where('cafe', '=', cafe).execute());
  const [machine] = await world.tx((tx) => machinesOf(tx, cafe));
  const page = await choose(world, settings, `machine.${machine?.id ?? ''}`);
  await world.tap('ola', await choose(world, page, `filter.${machine?.id ?? ''}`), 'Salt softener');
  expect(JSON.parse((await world.tx((tx) => machinesOf(tx, cafe)))[0]?.facts ?? '')).toEqual({ coolMinutes: 300, filter: 'salt softener' });
});
