import { describe, expect, test } from 'vitest';
import { bookingOf, bookingOfCase } from '../../../src/bookings/records.ts';
import { channel, direct, personId } from '../../../src/chat/who.ts';
import { press } from '../../../src/chat/press.ts';
import { databases } from '../../store/databases.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const ANA = direct(personId('ana'));
const OLA = direct(personId('ola'));
const FIRM = channel('firm');

const taken = async (world: World): Promise<string> => {
  const caseId = await world.verdict(verdictFor('group-valve-passes'));
  await world.raw('ola', press('booking.book', caseId, 'any'));
  await world.press('ana', 'Take');
  return caseId;
};
const stateOf = async (world: World, caseId: string) => {
  const row = await world.tx((tx) => bookingOfCase(tx, caseId));
  return row && bookingOf(row).state;
};

describe.each(databases)('a technician types ($name)', ({ open }) => {
  test('without a visit, and with one that is only asked about, nobody is sent to the bar\'s list', async () => {
    const world = await openWorld(await open());
    for (const text of ['later', 'finished', 'on my way']) await world.say('ana', text, ANA);
    expect(world.count(ANA, 'No visits are open.')).toBe(3);
    await world.say('ana', 'I need a coffee', ANA);
    expect(world.seen(ANA, 'understand').lines).toEqual(['I did not understand that. Your visits: /visits']);
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, 'any'));
    await world.say('ana', 'later', ANA);
    expect(world.seen(ANA, 'When then').labels).toEqual(['Other time']);
    await world.say('ana', 'finished', ANA);
    expect(world.seen(ANA, 'Take it first')).toBeDefined();
    await world.say('ana', 'thu 15:00', ANA);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'time agreed' });
    expect(world.count(ANA, 'for the bar')).toBe(0);
    await world.store.close();
  });

  test('a coffee is no missing part until somebody says so; a coil is one', async () => {
    const world = await openWorld(await open());
    const caseId = await taken(world);
    await world.say('ana', "I'm here", ANA);
    await world.say('ana', 'I need a coffee', ANA);
    expect(world.seen(ANA, 'coffee')).toMatchObject({ lines: ['Are you waiting for a part: coffee?'], labels: ['Yes, for that part', 'No'] });
    await world.press('ana', 'No', 'coffee');
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'here' });
    await world.say('ana', 'I need a left-handed spring', ANA);
    await world.press('ana', 'Yes, for that part');
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'waiting for a part', part: 'left handed spring' });
    expect(world.seen(BAR, 'waits for a part').lines[0]).toBe('Ana waits for a part: left handed spring.');
    await world.say('ana', "I'm here", ANA);
    await world.say('ana', 'I need a new coil', ANA);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'waiting for a part', part: 'coil' });
    await world.say('ana', 'need a part', ANA);
    expect(world.seen(ANA, 'Which part').labels).toEqual(['Need a part']);
    await world.store.close();
  });

  test('words do the same in the café\'s channel and at the firm\'s own place; what is said to others there is left alone', async () => {
    const world = await openWorld(await open());
    const caseId = await taken(world);
    await world.say('ana', 'see you later, Mia', BAR);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'time agreed' });
    await world.say('ana', 'on my way', BAR);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'on the way' });
    await world.say('ana', "I'm here", FIRM);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'on the way' });
    await world.tx((tx) => tx.updateTable('technician').set({ place: FIRM }).where('person', '=', 'ana').execute());
    await world.say('ana', "I'm here", FIRM);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'here' });
    await world.say('ana', 'finished', BAR);
    await world.say('ana', 'dirt in the valve', BAR);
    await world.say('ana', 'nothing', BAR);
    await world.say('ana', 'skip', BAR);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'finished', closeOut: { cause: 'dirt in the valve' } });
    await world.store.close();
  });

  test('with two visits open the one at the machine is meant, else which one is asked', async () => {
    const world = await openWorld(await open());
    const first = await taken(world);
    const second = await world.verdict(verdictFor('seal-worn'), { symptom: 'leak-at-rim', group: 1 });
    await world.raw('ola', press('booking.book', second, 'any'));
    await world.press('ana', 'Take');
    await world.say('ana', 'on my way', ANA);
    expect(world.seen(ANA, 'Which visit').labels).toHaveLength(2);
    await world.press('ana', 'Lantern', 'Which visit');
    const on = await Promise.all([first, second].map(async (each) => (await stateOf(world, each))?.kind));
    expect(new Set(on)).toEqual(new Set(['on the way', 'time agreed']));
    await world.say('ana', 'finished', ANA);
    expect(world.seen(ANA, 'What was it?')).toBeDefined();
    await world.store.close();
  });

  test('a danger typed while closing goes first; what was mended is asked about, and taken as the answer once', async () => {
    const world = await openWorld(await open());
    const caseId = await taken(world);
    await world.say('ana', "I'm here", ANA);
    await world.say('ana', 'finished', ANA);
    await world.say('ana', 'hose burst, new hose fitted', ANA);
    expect(world.seen(ANA, 'danger').labels).toEqual(['Danger now', 'What I found']);
    expect(world.count(BAR, 'hose')).toBe(0);
    await world.press('ana', 'What I found');
    expect(world.seen(ANA, 'Fitted?')).toBeDefined();
    const row = await world.tx((tx) => bookingOfCase(tx, caseId));
    expect(JSON.parse(row?.draft ?? '{}')).toEqual({ step: 'fitted', cause: 'hose burst, new hose fitted', fitted: [] });
    // The same press once more answers nothing.
    await world.raw('ana', press('booking.found', row?.id ?? '', '0'));
    expect(JSON.parse((await world.tx((tx) => bookingOfCase(tx, caseId)))?.draft ?? '{}')).toMatchObject({ step: 'fitted' });
    await world.say('ana', 'sparks from the plug', ANA);
    expect(world.seen(BAR, 'everyone out').lines[0]).toContain('Flames or growing smoke');
    expect(JSON.parse((await world.tx((tx) => bookingOfCase(tx, caseId)))?.draft ?? '{}')).toMatchObject({ step: 'fitted', fitted: [] });
    await world.store.close();
  });

  test('the café names a time in words where one visit waits for one; an agreed visit is not moved by it', async () => {
    const world = await openWorld(await open());
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('mia', press('booking.ask', caseId), BAR);
    await world.press('ola', 'Either');
    await world.press('ana', 'Other time');
    await world.fill('ana', { text: 'sat 9:00' });
    await world.press('ola', 'Not that time');
    await world.say('ola', 'fri 16:00', OLA);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'taken', proposal: { by: 'cafe', span: { start: Date.parse('2027-03-12T15:00:00Z') } } });
    await world.press('ana', 'Yes, Fri');
    await world.say('ola', 'sat 10:00', OLA);
    expect(await stateOf(world, caseId)).toMatchObject({ kind: 'time agreed', proposal: null });
    await world.store.close();
  });

  test('who has passed it on is not asked to pass it on again, and asking once more keeps the times that suited', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', direct(personId('ben')));
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('mia', press('booking.ask', caseId), BAR);
    await world.press('ola', 'Either');
    const suited = async () => bookingOf((await world.tx((tx) => bookingOfCase(tx, caseId))) ?? { booking: '' }).suits;
    const before = await suited();
    expect(before.length).toBeGreaterThan(0);
    await world.press('ana', "Can't take it");
    expect(world.seen(ANA, 'Somebody else').labels).not.toContain("Can't take it");
    await world.press('ben', "Can't take it");
    expect((await stateOf(world, caseId))?.kind).toBe('nobody took it');
    await world.press('ola', 'Ask again');
    expect((await stateOf(world, caseId))?.kind).toBe('asked');
    expect(await suited()).toEqual(before);
    await world.store.close();
  });
});
