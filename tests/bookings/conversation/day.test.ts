import { describe, expect, test } from 'vitest';
import { bookingOfCase } from '../../../src/bookings/records.ts';
import { press } from '../../../src/chat/press.ts';
import { channel, direct, personId } from '../../../src/chat/who.ts';
import { createIds } from '../../../src/store/id.ts';
import { databases } from '../../store/databases.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const ANA = direct(personId('ana'));
const OLA = direct(personId('ola'));

/** A second café of another owner that has linked the same Ana. */
const secondCafe = async (world: World): Promise<string> => {
  const id = createIds()(world.now());
  await world.tx(async (tx) => {
    const cafe = await tx.selectFrom('cafe').selectAll().where('id', '=', world.cafe).executeTakeFirstOrThrow();
    await tx.insertInto('cafe').values({ ...cafe, id, name: 'Mill Lane', place: channel('mill'), address: 'Mill Lane 3, Valencia', telephone: '555 0155' }).execute();
    const machine = await tx.selectFrom('machine').selectAll().where('cafe', '=', world.cafe).executeTakeFirstOrThrow();
    await tx.insertInto('machine').values({ ...machine, id: `${id}m`, cafe: id }).execute();
    await tx.insertInto('member').values({ id: `${id}o`, cafe: id, person: 'nora', name: 'Nora', role: 'owner', language: 'en', direct_ok: 1, seen_at: null, created_at: world.now() }).execute();
  });
  await world.link('Ana', ANA, { cafe: id, position: 1 });
  return id;
};

/** The quiet time is too short for a second visit after the first: another time is named, and the second café says yes. */
const secondOfTheDay = async (world: World): Promise<void> => {
  await world.press('ana', 'Other time', 'Mill Lane');
  await world.fill('ana', { text: 'today 16:45' });
  await world.press('nora', 'Yes, today 16:45');
};

describe.each(databases)('the technician\'s day ($name)', ({ open }) => {
  test('two cafés share a technician: no two visits at once, each café sees only its own', async () => {
    const world = await openWorld(await open());
    const mill = await secondCafe(world);
    const [one, two] = [await world.verdict(verdictFor('group-valve-passes')), await world.verdict(verdictFor('pump-worn'), { cafe: mill, symptom: 'all-groups-slow' })];
    await world.raw('ola', press('booking.book', one, '2027-03-09'));
    await world.raw('nora', press('booking.book', two, '2027-03-09'));
    await world.press('ana', 'Take', 'Lantern Street');
    expect(world.seen(ANA, 'Mill Lane').labels[0]).toBe('Offer Wed 15:00');
    const row = await world.tx((tx) => bookingOfCase(tx, two));
    const start = (await world.tx((tx) => bookingOfCase(tx, one)))?.starts_at;
    const answer = await world.raw('ana', press('booking.take', row?.id ?? '', '0', String(start)), ANA);
    expect(answer?.kind === 'redraw' && answer.private?.lines[0]?.text).toBe('You have another visit then. Name another time.');
    await secondOfTheDay(world);
    const day = await world.command('ana', 'visits');
    expect(day.split('\n')).toEqual(['2 visits are open:', 'today 15:00: Drips at rest, group 2, Lantern Street 12, Valencia', 'today 16:45: All groups slow, group 2, Mill Lane 3, Valencia']);
    expect(await world.command('ola', 'visits')).not.toContain('Mill Lane');
    expect(day).not.toContain('555');
    // One after the other: what it likely is, and the telephone on a line of its own.
    expect((await world.press('ana', 'One by one')).split('\n')).toEqual(['Visit 1 of 2:', 'today 15:00: Drips at rest, group 2, Lantern Street 12, Valencia', 'Likely valve passes.', 'Ola 555 0120']);
    expect((await world.press('ana', 'Next visit')).split('\n')).toEqual(['Visit 2 of 2:', 'today 16:45: All groups slow, group 2, Mill Lane 3, Valencia', 'Likely pump worn.', 'Nora 555 0155']);
    expect(await world.press('ana', 'Open it')).toContain('Mill Lane 3, Valencia');
    expect((await world.press('ana', 'Next visit')).split('\n')[0]).toBe('Visit 1 of 2:');
    await world.command('ola', 'visits');
    expect(world.all().findLast(({ place }) => place === OLA)?.labels).not.toContain('One by one');
    await world.command('ana', 'visits');
    const kit = await world.press('ana', 'What to bring');
    expect(kit.split('\n')).toEqual(['Bring: pump and valve kit.', 'Lantern Street: likely valve passes; done at once 8 in 10.', 'Mill Lane: likely pump worn; done at once 8 in 10.']);
    await world.store.close();
  });

  test('one visit alone is shown with what it likely is and whom to telephone, to its technician only', async () => {
    const world = await openWorld(await open());
    const one = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', one, '2027-03-09'));
    expect(await world.command('ana', 'visits')).not.toContain('555');
    await world.press('ana', 'Take');
    expect((await world.command('ana', 'visits')).split('\n')).toEqual(['One visit is open:', 'today 15:00: Drips at rest, group 2, Lantern Street 12, Valencia', 'Likely valve passes.', 'Ola 555 0120']);
    expect((await world.command('ola', 'visits')).split('\n')).toHaveLength(2);
    await world.store.close();
  });

  test('two taken at the same instant by one technician: one is refused, on whichever database', async () => {
    const world = await openWorld(await open());
    const mill = await secondCafe(world);
    const [one, two] = [await world.verdict(verdictFor('group-valve-passes')), await world.verdict(verdictFor('pump-worn'), { cafe: mill, symptom: 'all-groups-slow' })];
    await world.raw('ola', press('booking.book', one, '2027-03-09'));
    await world.raw('nora', press('booking.book', two, '2027-03-09'));
    const rows = await world.tx(async (tx) => [await bookingOfCase(tx, one), await bookingOfCase(tx, two)]);
    const start = String(Date.parse('2027-03-09T14:00:00Z'));
    await Promise.all(rows.map((row) => world.raw('ana', press('booking.take', row?.id ?? '', '0', start), ANA)));
    const states = await world.tx(async (tx) => [(await bookingOfCase(tx, one))?.state, (await bookingOfCase(tx, two))?.state]);
    expect(states.map((state) => state ?? '').toSorted((a, b) => (a < b ? -1 : 1))).toEqual(['asked', 'time agreed']);
    await world.store.close();
  });

  test('the best order is offered where places are known, and says which visit would be late', async () => {
    const world = await openWorld(await open());
    const mill = await secondCafe(world);
    const [one, two] = [await world.verdict(verdictFor('group-valve-passes')), await world.verdict(verdictFor('pump-worn'), { cafe: mill, symptom: 'all-groups-slow' })];
    await world.raw('ola', press('booking.book', one, '2027-03-09'));
    await world.raw('nora', press('booking.book', two, '2027-03-09'));
    await world.press('ana', 'Take', 'Lantern Street');
    await secondOfTheDay(world);
    await world.command('ana', 'visits');
    expect(await world.press('ana', 'Best order')).toContain('I do not know where you set out');
    await world.press('ana', 'My hours');
    expect(await world.fill('ana', { works: 'mon-fri 8-18', from: '39.47, -0.38', zone: 'Europe/Madrid' })).toContain('Noted');
    for (const [who, at] of [['ola', '39.4699, -0.3763'], ['nora', '39.58, -0.33']] as const) {
      await world.command(who, 'visits');
      await world.press(who, 'Technicians');
      await world.press(who, 'On the map');
      expect(await world.fill(who, { text: at })).toContain('Noted where the café is');
    }
    await world.command('ana', 'visits');
    const order = await world.press('ana', 'Best order');
    expect(order.split('\n')[0]).toBe('Shortest way: 15:00 Lantern Street and 16:45 Mill Lane.');
    // Great circles reckoned apart from the program (haversine, 6371.0088 km): 0.32 km to the first, 12.87 km on to the second.
    expect(order.split('\n')[1]).toBe('About 13 km in a straight line from place to place.');
    await world.command('nora', 'visits');
    await world.press('nora', 'Technicians');
    await world.press('nora', 'On the map');
    await world.fill('nora', { text: '39.88, -0.33' });
    await world.command('ana', 'visits');
    expect(await world.press('ana', 'Best order')).toMatch(/would be \d+ minutes late\./);
    await world.store.close();
  });

  test('days off and hours are kept for all cafés; what cannot be read changes nothing', async () => {
    const world = await openWorld(await open());
    await world.command('ana', 'visits');
    await world.press('ana', 'My hours');
    expect(await world.fill('ana', { works: 'whenever I like' })).toContain('could not read the hours');
    await world.command('ana', 'visits');
    await world.press('ana', 'My hours');
    await world.fill('ana', { works: 'tue-fri 16-18', 'on-call': 'sat 9-13', off: '9 march', zone: 'Europe/Madrid' });
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, '2027-03-09', '2027-03-10'));
    expect(world.seen(ANA, 'Drips at rest').labels[0]).toBe('Take Wed 16:00');
    await world.store.close();
  });

  test('delays and a missing part are told to the café, on the way and at the machine', async () => {
    const world = await openWorld(await open());
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, '2027-03-09'));
    await world.press('ana', 'Take');
    await world.press('ana', 'Running late');
    await world.press('ana', '30 min');
    expect(world.seen(BAR, 'Ana is delayed').lines).toEqual(['Ana is delayed: about 15:30 now.']);
    await world.press('ana', 'On my way');
    expect(world.seen(BAR, 'on the way').lines[0]).toContain('about 15:00');
    await world.press('ana', "I'm here");
    await world.press('ana', 'Need a part');
    await world.fill('ana', { text: 'valve seat 6 mm', when: 'thu' });
    expect(world.seen(BAR, 'waits for a part').lines).toEqual(['Ana waits for a part: valve seat 6 mm.', 'Expected Thu 11 Mar.']);
    expect((await world.tx((tx) => bookingOfCase(tx, caseId)))?.state).toBe('waiting for a part');
    await world.store.close();
  });

  test('the order of call is the owner\'s to change, and a technician known by telephone alone is passed over', async () => {
    const world = await openWorld(await open());
    await world.link('Ben', direct(personId('ben')));
    await world.command('ola', 'visits');
    await world.press('ola', 'Technicians');
    expect(await world.press('ola', 'Ben')).toContain('Ben is asked first from now on.');
    await world.press('ola', 'Add a technician');
    expect(await world.fill('ola', { name: 'Cora', telephone: '555 0188' })).toContain('Cora is added');
    await world.press('ola', 'Cora');
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, 'any'));
    expect(world.seen(BAR, 'is asked').lines[0]).toContain('Ben is asked');
    await world.press('ben', "Can't take it");
    await world.press('ana', "Can't take it");
    expect(world.seen(BAR, 'Please telephone').lines.join('\n')).toContain('555 0188');
    await world.store.close();
  });
});

describe('service by the calendar', () => {
  test('proposed three weeks before in words, booked like any visit, and due again a year later', async () => {
    const world = await openWorld(await (databases[0]?.open() ?? Promise.reject(new Error('no database'))));
    await world.command('ola', 'visits');
    await world.press('ola', 'Service dates');
    await world.press('ola', 'Yearly service');
    expect(await world.fill('ola', { due: '31 march', months: '12' })).toContain('Noted. I ask three weeks before.');
    await world.until('in 3 days 16:00');
    const asked = world.seen(OLA, 'Yearly service is due');
    expect(asked.lines).toEqual(['Yearly service is due by Wed 31 Mar.', 'Shall I ask Ana? These times are quiet.']);
    await world.press('ola', 'Either');
    expect(world.seen(ANA, 'Yearly service').lines[0]).toBe('Yearly service. Lantern Street, Valencia');
    await world.press('ana', 'Take');
    await world.press('ana', "I'm here");
    await world.press('ana', 'Finished');
    await world.press('ana', 'Something else');
    await world.fill('ana', { text: 'serviced, all well' });
    await world.press('ana', "That's all");
    const plan = await world.tx((tx) => tx.selectFrom('service_plan').select(['state', 'due_date']).executeTakeFirstOrThrow());
    expect(plan).toEqual({ state: 'planned', due_date: '2028-03-12' });
    await world.store.close();
  });

  test('a pressure examination names no date of its own: local rules do, and the next one is the examiner\'s', async () => {
    const world = await openWorld(await (databases[0]?.open() ?? Promise.reject(new Error('no database'))));
    await world.command('ola', 'visits');
    await world.press('ola', 'Service dates');
    await world.press('ola', 'Pressure examination');
    expect(await world.fill('ola', { due: '2027-03-20' })).toContain('What is due when is for your local rules to say.');
    await world.until('tomorrow 16:00');
    expect(world.seen(OLA, 'Pressure examination is due').lines).toContain('What is due when is for your local rules to say.');
    await world.press('ola', 'Ask in a week');
    const before = world.count(OLA, 'Pressure examination is due');
    await world.until('6d');
    expect(world.count(OLA, 'Pressure examination is due')).toBe(before);
    await world.until('3d');
    expect(world.count(OLA, 'Pressure examination is due')).toBe(before + 1);
    await world.store.close();
  });

  test('somebody comes anyway: both in one visit is offered first', async () => {
    const world = await openWorld(await (databases[0]?.open() ?? Promise.reject(new Error('no database'))));
    await world.command('ola', 'visits');
    await world.press('ola', 'Service dates');
    await world.press('ola', 'Yearly service');
    await world.fill('ola', { due: '20 march', months: '12' });
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, '2027-03-12'));
    await world.press('ana', 'Take');
    await world.until('tomorrow 16:00');
    const asked = world.seen(OLA, 'Yearly service is due');
    expect(asked.lines).toContain('Ana comes anyway: Fri 12 Mar, 15:00. Both in one visit?');
    expect(asked.labels[0]).toBe('Fri');
    await world.store.close();
  });
});
