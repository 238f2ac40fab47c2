import { describe, expect, test } from 'vitest';
import { press } from '../../../src/chat/press.ts';
import { channel, direct, personId } from '../../../src/chat/who.ts';
import { bookingOf, bookingOfCase } from '../../../src/bookings/records.ts';
import { databases } from '../../store/databases.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const ANA = direct(personId('ana'));
const BEN = direct(personId('ben'));
const OLA = direct(personId('ola'));

/** Ola says yes to the next two quiet times. */
const booked = async (world: World, more: Parameters<World['verdict']>[1] = {}): Promise<string> => {
  const caseId = await world.verdict(verdictFor('group-valve-passes'), more);
  const answer = await world.raw('ola', press('booking.ask', caseId));
  if (answer?.kind !== 'private') throw new Error('no question');
  const either = answer.message.rows?.flatMap((row) => ('from' in row ? [] : [...row])).find(({ label }) => label === 'Either' || label === 'Ask at once');
  if (!either || !('press' in either)) throw new Error('no button to book with');
  await world.raw('ola', either.press);
  return caseId;
};
const rowOf = async (world: World, caseId: string) => {
  const row = await world.tx((tx) => bookingOfCase(tx, caseId));
  if (!row) throw new Error('no booking');
  return row;
};
const fileOf = (world: World, place: string): number => world.all().filter((each) => each.place === place).flatMap(({ files }) => files).length;

describe.each(databases)('visits ($name)', ({ open }) => {
  test('who cannot take it hands on to the second technician, and the café hears both', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', BEN);
    const caseId = await booked(world);
    await world.press('ana', "Can't take it");
    expect(world.seen(BAR, 'Ben is asked').lines).toEqual(['Ana cannot take it.', 'Ben is asked. Nothing is fixed until they take it.']);
    expect(world.seen(BEN, 'Drips at rest').lines.join('\n')).not.toMatch(/Lantern Street 12|555|ring twice/);
    await world.press('ben', 'Take');
    expect(world.seen(BEN, 'Yours:').lines).toContain('Ola 555 0120');
    expect(world.seen(ANA, 'Somebody else has it now').labels).toEqual([]);
    expect(world.seen(BAR, 'Ben has taken it').lines[0]).toBe('Ben has taken it: today, 15:00.');
    expect((await rowOf(world, caseId)).state).toBe('time agreed');
    await world.store.close();
  });

  test('nobody answers: each is given their time, then the café is told to telephone, with every number', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', BEN, { telephone: '555 0177' });
    await booked(world);
    await world.until('61m');
    expect(world.seen(BAR, 'Ana has not answered').lines[1]).toContain('Ben is asked');
    await world.until('61m');
    const told = world.seen(BAR, 'Please telephone');
    expect(told.lines).toEqual(['Ben has not answered. Please telephone Ana: 555 0134', 'Please telephone Ben: 555 0177', 'I cannot telephone. You call.']);
    expect(told.labels).toEqual(['Ask again']);
    expect(world.seen(ANA, 'Nobody has taken it yet').labels.some((label) => label.startsWith('Take'))).toBe(true);
    await world.store.close();
  });

  test('another time across the clock change, named by someone on another clock: one instant for both sides', async () => {
    const world = await openWorld(await open(), '2027-03-26T10:00:00Z');
    await world.tx(async (tx) => tx.updateTable('technician').set({ zone: 'Africa/Tunis' }).where('name', '=', 'Ana').execute());
    const caseId = await booked(world);
    await world.press('ana', 'Other time');
    const note = await world.fill('ana', { text: 'monday 15:30' });
    expect(note).toContain('On the café\'s clock: Mon 29 Mar, 15:30.');
    expect(note).toContain('14:30 on your own clock.');
    const offer = world.seen(OLA, 'Ana has taken it and offers');
    expect(offer.lines).toEqual(['Ana has taken it and offers Mon 29 Mar, 15:30.', 'Not fixed until both say yes.']);
    expect(fileOf(world, OLA)).toBe(0);
    await world.press('ola', 'Yes, Mon 15:30');
    const row = await rowOf(world, caseId);
    expect(new Date(row.starts_at ?? 0).toISOString()).toBe('2027-03-29T13:30:00.000Z');
    expect(world.seen(ANA, 'Yours:').lines.slice(0, 2)).toEqual(['Yours: Mon 29 Mar, 15:30. Drips at rest, group 2.', '14:30 on your own clock.']);
    expect(fileOf(world, OLA)).toBe(1);
    expect(fileOf(world, ANA)).toBe(1);
    await world.store.close();
  });

  test('a time that cannot be read, is past or too far is said, and nothing is offered to anyone', async () => {
    const world = await openWorld(await open());
    const caseId = await booked(world);
    for (const [text, told] of [['soon', 'I need a time as well'], ['15:30', 'I need a day as well'], ['today 8:00', 'That is past'], ['2028-03-09 10:00', 'too far ahead']] as const) {
      await world.press('ana', 'Other time');
      expect(await world.fill('ana', { text }), text).toContain(told);
    }
    expect((await rowOf(world, caseId)).state).toBe('asked');
    await world.store.close();
  });

  test('called off by the café with a reason: the technician hears it, and both calendars lose it', async () => {
    const world = await openWorld(await open());
    const caseId = await booked(world);
    await world.press('ana', 'Take');
    await world.press('ola', 'Call it off');
    await world.press('ola', 'It works again');
    expect(world.seen(ANA, 'has called it off').lines[0]).toBe('Lantern Street has called it off: It works again');
    expect(world.seen(BAR, 'Called off').lines[0]).toBe('Called off. Ana knows: It works again');
    expect(fileOf(world, ANA)).toBe(2);
    expect(fileOf(world, OLA)).toBe(2);
    expect((await rowOf(world, caseId)).starts_at).toBeNull();
    expect((await world.tx((tx) => tx.selectFrom('fault_case').select(['state', 'closed_at']).where('id', '=', caseId).executeTakeFirstOrThrow()))).toEqual({ state: 'open', closed_at: null });
    await world.store.close();
  });

  test('called off by the technician: the café is told with the number, and may ask again', async () => {
    const world = await openWorld(await open());
    await booked(world);
    await world.press('ana', 'Take');
    await world.press('ana', "Can't after all");
    await world.press('ana', 'No vehicle');
    expect(world.seen(BAR, 'cannot come after all').lines).toEqual(['Ana cannot come after all: No vehicle', 'Please telephone Ana: 555 0134']);
    await world.press('ola', 'Ask again');
    expect(world.seen(ANA, 'Safe:').labels).toContain("Can't take it");
    await world.store.close();
  });

  test('it came back within a week: same case, same booking, who was there is asked first, old buttons are void', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', BEN);
    const caseId = await booked(world);
    await world.press('ana', "Can't take it");
    await world.press('ben', 'Take');
    await world.until('15:00');
    await world.press('ben', "I'm here");
    await world.press('ben', 'Finished');
    await world.press('ben', 'Valve passes');
    await world.press('ben', 'Nothing');
    await world.press('ben', 'Skip');
    const first = await rowOf(world, caseId);
    expect(first.state).toBe('finished');
    expect(await world.tx((tx) => tx.selectFrom('fault_case').select('state').where('id', '=', caseId).executeTakeFirstOrThrow())).toEqual({ state: 'fixed' });
    await world.until('5d');
    await world.press('mia', 'Not cured', 'Ben is finished');
    const again = await rowOf(world, caseId);
    expect(again.id).toBe(first.id);
    expect(bookingOf(again).reopened.map(({ why }) => why)).toEqual(['came back']);
    expect(await world.tx((tx) => tx.selectFrom('fault_case').select('state').where('id', '=', caseId).executeTakeFirstOrThrow())).toEqual({ state: 'booked' });
    expect(world.seen(BAR, 'Ben is asked').lines[0]).toContain('Ben is asked');
    expect(world.seen(OLA, 'Ben is asked').lines.at(-1)).toBe('Mia says: it is back.');
    const old = await world.raw('ben', press('booking.finish', again.id, '0'), BEN);
    expect(old?.kind).toBe('redraw');
    expect((await rowOf(world, caseId)).draft).toBeNull();
    await world.store.close();
  });

  test('direct messages closed and no other road: the next one is asked at once', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', BEN);
    world.shut.add(ANA);
    await booked(world);
    expect(world.seen(BAR, 'could not be reached').lines).toEqual(['Ana could not be reached.', 'Ben is asked. Nothing is fixed until they take it.']);
    await world.store.close();
  });

  test('direct messages closed and nobody else: the café is told at once to telephone', async () => {
    const world = await openWorld(await open());
    world.shut.add(ANA);
    await booked(world);
    expect(world.seen(BAR, 'could not be reached').lines[0]).toBe('Ana could not be reached. Please telephone Ana: 555 0134');
    await world.store.close();
  });

  test("the firm's own place first, direct messages when it is shut, each proved by its own press", async () => {
    const world = await openWorld(await open());
    const firm = channel('workshop');
    await world.press('ola', 'Unlink Ana', await world.command('ola', 'visits'));
    await world.command('ola', 'visits');
    const code = /this code: (\w+)/.exec(await world.press('ola', 'Link Ana'))?.[1] ?? '';
    await world.say('ana', `link ${code}`, firm);
    expect(world.seen(firm, 'A test').labels).toEqual(['I can read this']);
    await world.press('ana', 'I can read this');
    await world.press('ana', 'Also write directly');
    await world.press('ana', 'I can read this', 'A test');
    const roads = await world.tx((tx) => tx.selectFrom('technician_road').select(['kind', 'proved_at', 'failed_at']).orderBy('kind').execute());
    expect(roads.map(({ kind, proved_at, failed_at }) => [kind, proved_at !== null, failed_at])).toEqual([['direct', true, null], ['own place', true, null]]);
    world.shut.add(firm);
    await booked(world);
    expect(world.count(firm, 'Drips at rest')).toBe(0);
    expect(world.seen(ANA, 'Drips at rest').labels.some((label) => label.startsWith('Take'))).toBe(true);
    expect(world.count(BAR, 'could not be reached')).toBe(0);
    await world.press('ana', 'Take');
    expect(world.seen(ANA, 'Yours:').lines[0]).toContain('Yours: Tue 9 Mar, 15:00.');
    await world.store.close();
  });

  test('unlinked while asked: the next one is asked, and the old message tells and does nothing more', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', BEN);
    const caseId = await booked(world);
    await world.say('ana', 'van: 2 screens', ANA);
    await world.command('ana', 'visits');
    await world.press('ana', 'My hours');
    await world.fill('ana', { works: 'mon-fri 8-18' });
    const kept = () => world.tx(async (tx) => [(await tx.selectFrom('technician_desk').select('person').execute()).length, (await tx.selectFrom('stock_move').select('id').execute()).length]);
    expect(await kept()).toEqual([1, 1]);
    await world.command('ola', 'visits');
    await world.press('ola', 'Unlink Ana');
    // Hers was the last café: her hours and her van go with it.
    expect(await kept()).toEqual([0, 0]);
    expect(world.seen(BAR, 'Ben is asked').lines[0]).toBe('Ana does not have it any more.');
    expect(world.seen(ANA, 'no longer linked').labels).toEqual([]);
    const answer = await world.raw('ana', press('booking.take', (await rowOf(world, caseId)).id, '0', '1804611600000'), ANA);
    expect(answer?.kind).toBe('private');
    expect((await rowOf(world, caseId)).state).toBe('asked');
    await world.store.close();
  });

  test('no owner can be written to: the bar may book, without seeing money', async () => {
    const world = await openWorld(await open());
    world.shut.add(OLA);
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('mia', press('booking.ask', caseId), BAR);
    const asked = world.seen(BAR, 'Needs Ana');
    expect(asked.lines.join('\n')).not.toContain('€');
    await world.press('mia', 'Either');
    expect(world.seen(ANA, 'Drips at rest').lines[0]).toContain('group 2');
    await world.press('sam', 'Call it off', 'Ana is asked');
    await world.press('sam', 'It works again');
    expect(world.seen(BAR, 'Called off').lines.at(-1)).toBe('Pressed by Sam, at the bar.');
    await world.store.close();
  });

  test('an owner who can be written to decides alone: the bar is told so and changes nothing', async () => {
    const world = await openWorld(await open());
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('mia', press('booking.ask', caseId), BAR);
    await world.raw('mia', press('booking.book', caseId, 'any'), BAR);
    expect(await world.tx((tx) => bookingOfCase(tx, caseId))).toBeUndefined();
    await world.raw('sam', press('booking.ask', caseId), BAR);
    expect(world.count(OLA, 'Needs Ana')).toBe(1);
    await world.press('ola', 'Not now');
    await world.until('tomorrow 15:00');
    expect(world.count(OLA, 'Needs Ana')).toBe(1);
    expect(world.seen(OLA, 'Needs Ana').labels).toContain('Not now');
    await world.store.close();
  });
});

describe('a technician\'s link', () => {
  test('a code works once, within a day, for whoever has it; afterwards it is worth nothing', async () => {
    const world = await openWorld(await (databases[0]?.open() ?? Promise.reject(new Error('no database'))));
    await world.command('ola', 'visits');
    await world.press('ola', 'Unlink Ana');
    await world.command('ola', 'visits');
    const code = /this code: (\w+)/.exec(await world.press('ola', 'Link Ana'))?.[1] ?? '';
    expect(await world.command('ben', 'visits')).toBe('No visits are open.');
    await world.press('ben', 'Link a café');
    expect(await world.fill('ben', { code: 'AAAAAA' })).toContain('I do not know that code');
    await world.until('25h');
    await world.say('ana', `link ${code}`, ANA);
    expect(world.seen(ANA, 'I do not know that code').lines[0]).toContain('Ask the café for a new one');
    await world.command('ola', 'visits');
    const fresh = /this code: (\w+)/.exec(await world.press('ola', 'Link Ana'))?.[1] ?? '';
    await world.command('ana', 'visits');
    await world.press('ana', 'Link a café');
    expect(await world.fill('ana', { code: fresh.toLowerCase() })).toContain('Linked with Lantern Street');
    await world.say('ben', `link ${fresh}`, BEN);
    expect(world.seen(BEN, 'I do not know that code').lines).toHaveLength(1);
    expect(await world.tx((tx) => tx.selectFrom('technician').select(['person', 'state', 'code']).execute())).toEqual([{ person: 'ana', state: 'linked', code: null }]);
    await world.store.close();
  });
});
