import { mkdtempSync, readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { bookingOf, bookingOfCase } from '../../../src/bookings/records.ts';
import { machineRecord } from '../../../src/bookings/machine-record.ts';
import { readReport } from '../../../src/bookings/report.ts';
import { press } from '../../../src/chat/press.ts';
import { direct, personId } from '../../../src/chat/who.ts';
import { insertFitting } from '../../../src/seals/records.ts';
import { createFiles } from '../../../src/store/files.ts';
import { housekeep, KEPT } from '../../../src/store/housekeeping.ts';
import { transact } from '../../../src/store/transact.ts';
import { later } from '../../../src/time/instant.ts';
import { databases } from '../../store/databases.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const ANA = direct(personId('ana'));
const OLA = direct(personId('ola'));

const here = async (world: World, cause = 'group-valve-passes', about: Parameters<World['verdict']>[1] = {}): Promise<string> => {
  const caseId = await world.verdict(verdictFor(cause), about);
  await world.raw('ola', press('booking.book', caseId, 'any'));
  await world.press('ana', 'Take');
  await world.press('ana', "I'm here");
  return caseId;
};
const closeOutOf = async (world: World, caseId: string) => {
  const row = await world.tx((tx) => bookingOfCase(tx, caseId));
  const state = row && bookingOf(row).state;
  return state?.kind === 'finished' ? state.closeOut : undefined;
};

describe.each(databases)('closing out ($name)', ({ open }) => {
  test('five presses and one typed sentence, the café told once, with everything in it', async () => {
    const world = await openWorld(await open());
    const caseId = await here(world);
    await world.until('35m');
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    expect(world.count(BAR, 'is finished')).toBe(0);
    await world.press('ana', 'Valve kit');
    await world.say('ana', 'scale in the valve, change the filter this week. no burning smell', ANA);
    expect(world.count(BAR, 'Burning')).toBe(0);
    expect(world.seen(BAR, 'Ana is finished').lines.join(' ')).toContain('change the filter this week');
    expect(await closeOutOf(world, caseId)).toMatchObject({ cause: 'group-valve-passes', fitted: [{ part: 'valve-kit', count: 1 }], minutes: 35 });
    expect(world.seen(ANA, 'Closed,').lines[0]).toMatch(/valve kit, 35 min/);
    await world.store.close();
  });

  test('typed from the road to the end, without one button: what was typed is what is kept', async () => {
    const world = await openWorld(await open());
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, 'any'));
    await world.press('ana', 'Take');
    await world.say('ana', 'on my way', ANA);
    await world.say('ana', '20 min late', ANA);
    expect(world.count(BAR, 'Ana is delayed')).toBe(1);
    await world.say('ana', "I'm here", ANA);
    await world.say('ana', 'I need a coil', ANA);
    expect(world.seen(BAR, 'waits for').lines.join(' ')).toContain('coil');
    await world.say('ana', 'finished', ANA);
    await world.say('ana', 'valve passes', ANA);
    await world.say('ana', 'valve kit, 2 screens', ANA);
    await world.say('ana', "that's all", ANA);
    expect(await closeOutOf(world, caseId)).toMatchObject({ cause: 'group-valve-passes', fitted: [{ part: 'valve-kit', count: 1 }, { part: 'screen', count: 2 }], words: null });
    await world.store.close();
  });

  test('an unanswered question of the end takes no words of the next day for its answer', async () => {
    const world = await openWorld(await open());
    const caseId = await here(world);
    await world.press('ana', 'Finished');
    await world.until('tomorrow 9:00');
    await world.say('ana', 'which hose did you mean', ANA);
    expect(await closeOutOf(world, caseId)).toBeUndefined();
    await world.press('ana', 'Valve passes');
    await world.store.close();
  });

  test('who is called away while writing is finished with what was answered, and the case ends', async () => {
    const world = await openWorld(await open());
    const caseId = await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.until('21m');
    expect(world.seen(BAR, 'Ana is finished').lines[0]).toContain('a group valve that does not shut');
    expect(await closeOutOf(world, caseId)).toMatchObject({ cause: 'group-valve-passes', words: null });
    await world.store.close();
  });

  test('every part of it can be corrected; only new words are told once more', async () => {
    const world = await openWorld(await open());
    const caseId = await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Something else');
    await world.fill('ana', { text: 'dirt in the valve' });
    await world.press('ana', 'Nothing');
    await world.press('ana', 'Skip');
    expect(world.count(BAR, 'Ana is finished')).toBe(1);
    await world.press('ana', 'Correct it');
    await world.press('ana', 'What it was');
    await world.press('ana', 'Valve passes');
    expect(await closeOutOf(world, caseId)).toMatchObject({ cause: 'group-valve-passes' });
    expect(world.count(BAR, 'Ana is finished')).toBe(1);
    expect(world.seen(BAR, 'Ana is finished').lines[0]).toContain('a group valve that does not shut');
    await world.press('ana', 'Add price');
    expect(await world.fill('ana', { text: 'dear' })).toContain('could not read that as an amount');
    await world.press('ana', 'Add price');
    await world.fill('ana', { text: '85,50 €' });
    expect(world.seen(OLA, 'Ana is finished').lines).toContain('Price: €85.50.');
    expect(world.seen(BAR, 'Ana is finished').lines.join()).not.toContain('85');
    await world.press('ana', 'Correct it');
    await world.press('ana', 'The word for them');
    await world.press('ana', 'Write it');
    await world.fill('ana', { text: 'keep the jug away' });
    expect(world.count(BAR, 'Ana is finished')).toBe(2);
    await world.store.close();
  });

  test('readings, what is left, and the technician\'s view are kept beside it', async () => {
    const world = await openWorld(await open());
    const caseId = await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', "That's all");
    await world.press('ana', 'Add readings');
    for (const lead of ['a finger', '25']) {
      expect(await world.fill('ana', { boiler: '1.4, 1.1', pump: '9', lead })).toContain('The lead is 6 to 20 mm a turn.');
      await world.press('ana', 'Add readings');
    }
    await world.fill('ana', { boiler: '1.4, 1.1', pump: '9', ten: '62 and 60', hours: '5:30, 6', lead: '12, 11.5' });
    await world.press('ana', 'Add more');
    await world.fill('ana', { confirmed: 'watched it for ten minutes', left: 'drain pipe loose, wand 1 worn', next: '12 june' });
    await world.press('ana', 'Your view');
    await world.press('ana', 'Earlier next time');
    await world.press('ana', 'Safe');
    const row = await world.tx((tx) => bookingOfCase(tx, caseId));
    expect(readReport(row?.report ?? '{}')).toEqual({ boiler: [1.4, 1.1], pump: [null, 9], tenSeconds: [62, 60], hours: ['5:30', '6'], leads: [12, 11.5], nextDue: '2027-06-12' });
    expect(await closeOutOf(world, caseId)).toMatchObject({ confirmedBy: 'watched it for ten minutes', defectsLeft: ['drain pipe loose', 'wand 1 worn'], shouldHaveBooked: 'earlier', adviceWasSafe: true });
    expect(world.seen(BAR, 'Still to do').lines).toContain('Still to do: drain pipe loose and wand 1 worn.');
    await world.store.close();
  });

  test('the date for the next visit moves the service plan, owners hear it, and a correction of something else leaves it', async () => {
    const world = await openWorld(await open());
    await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', "That's all");
    await world.press('ana', 'Add more');
    await world.fill('ana', { next: '12 june' });
    const plans = () => world.tx((tx) => tx.selectFrom('service_plan').select(['about', 'due_date', 'state', 'every_months']).execute());
    expect(await plans()).toEqual([{ about: 'yearly service', due_date: '2027-06-12', state: 'planned', every_months: null }]);
    expect(world.seen(OLA, 'come again by').lines).toEqual(['Ana says: somebody should come again by Sat 12 Jun.', 'I ask you three weeks before.']);
    await world.command('ola', 'visits');
    await world.press('ola', 'Service dates');
    await world.press('ola', 'Yearly service');
    await world.fill('ola', { due: '2027-07-01', months: '12' });
    await world.press('ana', 'Add price');
    await world.fill('ana', { text: '40' });
    expect((await plans())[0]).toMatchObject({ due_date: '2027-07-01', every_months: 12 });
    await world.press('ana', 'Add more');
    await world.fill('ana', { next: '20 june' });
    expect((await plans())[0]).toMatchObject({ due_date: '2027-06-20', every_months: 12 });
    await world.store.close();
  });

  test('hardness is kept with its unit alone, stands in the machine\'s record and in the next handoff', async () => {
    const world = await openWorld(await open());
    await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', "That's all");
    await world.press('ana', 'Add hardness');
    expect(await world.fill('ana', { text: '12' })).toContain('I need the unit as well');
    await world.press('ana', 'Add hardness');
    await world.fill('ana', { text: '12 dH' });
    const machine = await world.tx((tx) => tx.selectFrom('machine').selectAll().executeTakeFirstOrThrow());
    const cafe = await world.tx((tx) => tx.selectFrom('cafe').selectAll().where('id', '=', world.cafe).executeTakeFirstOrThrow());
    expect(JSON.parse(machine.facts)).toMatchObject({ seal: 8, hardness: '12 dH' });
    // 1 German degree is 10 mg CaO a litre: 17.848 mg CaCO3 by the molar masses.
    expect((await world.tx((tx) => machineRecord(tx, cafe, machine, world.now()))).hardness).toBeCloseTo(12 * 17.848, 1);
    await world.store.close();
  });

  test('a filter the technician fitted counts as the routine\'s own; corrected to none, its date is as before', async () => {
    const world = await openWorld(await open());
    await world.tx(async (tx) => {
      const duty = await tx.selectFrom('duty').selectAll().where('machine', 'is not', null).where('group_number', 'is', null).executeTakeFirstOrThrow();
      await tx.insertInto('duty').values({ ...duty, id: 'cartridge', job: 'cartridge', last_done_at: null }).execute();
    });
    await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', 'Write it');
    await world.fill('ana', { text: 'filter cartridge, 2 screens, a new hose' });
    await world.press('ana', 'Skip');
    expect(world.seen(BAR, 'Fitted:').lines).toContain('Fitted: filter cartridge, 2 screens and a new hose.');
    const lastDone = async () => (await world.tx((tx) => tx.selectFrom('duty').select('last_done_at').where('id', '=', 'cartridge').executeTakeFirstOrThrow())).last_done_at;
    expect(await lastDone()).toBe(world.now());
    // No filter after all: the day goes, and comes back with it.
    for (const [text, at] of [['2 screens', null], ['filter cartridge', world.now()]] as const) {
      await world.press('ana', 'Correct it');
      await world.press('ana', 'What was fitted');
      await world.press('ana', 'Write it');
      await world.fill('ana', { text });
      expect(await lastDone()).toBe(at);
    }
    await world.store.close();
  });

  test('a new danger after the end: what was found before frees nothing', async () => {
    const world = await openWorld(await open());
    await world.say('sam', 'smells like burning behind the machine');
    await world.press('sam', 'It is off');
    await world.press('sam', 'All fine');
    await world.press('ana', 'Take');
    await world.press('ana', "I'm here");
    await world.press('ana', 'Finished');
    await world.press('ana', 'Something else');
    await world.fill('ana', { text: 'burnt relay' });
    await world.press('ana', "That's all");
    await world.press('ana', 'Usable again');
    await world.until('5m');
    await world.say('mia', 'sparks from the plug of the machine');
    expect(await world.press('ana', 'Safe to use again')).toContain('A danger was told of after your visit. It stays off.');
    expect(await world.tx(async (tx) => (await tx.selectFrom('machine').select('state').executeTakeFirstOrThrow()).state)).toBe('must stay off');
    expect(world.count(BAR, 'may be used again')).toBe(0);
    await world.store.close();
  });

  test('a machine that must stay off is freed by its technician alone, after the end, with a second press', async () => {
    const world = await openWorld(await open());
    await world.say('sam', 'smells like burning behind the machine');
    await world.press('sam', 'It is off');
    await world.press('sam', 'All fine');
    expect(world.seen(ANA, 'Urgent:').lines[0]).toContain('Burning smell');
    await world.press('ana', 'Take');
    await world.press('ana', "I'm here");
    const stateOf = () => world.tx(async (tx) => (await tx.selectFrom('machine').select('state').executeTakeFirstOrThrow()).state);
    const [row] = await world.tx((tx) => tx.selectFrom('booking').selectAll().execute());
    await world.raw('ana', press('booking.freed', row?.id ?? '', '0'), ANA);
    expect(await stateOf()).toBe('must stay off');
    await world.press('ana', 'Finished');
    await world.press('ana', 'Something else');
    await world.fill('ana', { text: 'burnt relay' });
    await world.press('ana', "That's all");
    expect(world.seen(BAR, 'Ana is finished').lines).toContain('It stays off until Ana says it may be used.');
    await world.press('ana', 'Usable again');
    expect(await stateOf()).toBe('must stay off');
    await world.raw('mia', press('booking.freed', row?.id ?? '', '0'), BAR);
    expect(await stateOf()).toBe('must stay off');
    await world.press('ana', 'Safe to use again');
    expect(await stateOf()).toBe('in use');
    expect(world.seen(BAR, 'may be used again').lines[0]).toMatch(/^Ana says it may be used again, \d\d:\d\d\.$/);
    await world.store.close();
  });

  test('a seal and the handles go into the machine\'s record; corrected, the old line stays beside the new one', async () => {
    const world = await openWorld(await open());
    await here(world, 'seal-worn', { symptom: 'leak-at-rim', group: 2 });
    await world.press('ana', 'Finished');
    await world.press('ana', 'Worn seal');
    await world.press('ana', '8 mm seal');
    expect(world.seen(ANA, 'The new seal').labels).toEqual(['Numbers up', 'Numbers down', 'With a shim', 'Skip', 'Back']);
    await world.press('ana', 'Numbers up');
    await world.press('ana', 'Skip');
    expect(world.seen(BAR, 'is finished').lines).toContain('Fitted: 8 mm seal (numbers up).');
    await world.press('ana', 'Add readings');
    await world.fill('ana', { hours: '6, 5:30' });
    const seals = () => world.tx((tx) => tx.selectFrom('seal_fitting').select(['group_number', 'size_mm', 'side_up', 'superseded_by', 'by_name']).where('fitted_at', 'is not', null).orderBy('id').execute());
    expect(await seals()).toEqual([{ group_number: 2, size_mm: 8, side_up: 'up', superseded_by: null, by_name: 'Ana' }]);
    expect(await world.tx((tx) => tx.selectFrom('seal_reading').select(['group_number', 'value']).orderBy('group_number').execute())).toEqual([{ group_number: 1, value: '0' }, { group_number: 2, value: '15' }]);
    await world.press('ana', 'Correct it');
    await world.press('ana', 'What was fitted');
    await world.press('ana', 'Write it');
    await world.fill('ana', { text: 'seal 8.5 mm, marked side down' });
    const after = await seals();
    expect(after.map(({ size_mm, side_up, superseded_by }) => [size_mm, side_up, superseded_by === null])).toEqual([[8, 'up', false], [8.5, 'down', true]]);
    await world.press('ana', 'Add price');
    await world.fill('ana', { text: '40' });
    expect(await seals()).toEqual(after);
    // No seal was fitted after all: no line counts, none is lost, and it can be fitted once more.
    for (const [choice, standing] of [['Nothing', []], ['8 mm seal', [8]]] as const) {
      await world.press('ana', 'Correct it');
      await world.press('ana', 'What was fitted');
      await world.press('ana', choice);
      const lines = await seals();
      expect(lines.filter(({ superseded_by }) => superseded_by === null).map(({ size_mm }) => size_mm)).toEqual(standing);
      expect(lines.slice(0, 2).map(({ size_mm }) => size_mm)).toEqual([8, 8.5]);
    }
    await world.store.close();
  });

  test('a correction without a seal puts the one from before back into its group', async () => {
    const world = await openWorld(await open());
    const machine = await world.tx((tx) => tx.selectFrom('machine').select(['id', 'cafe']).executeTakeFirstOrThrow());
    await world.tx((tx) => insertFitting(tx, { id: 'old', cafe: machine.cafe, machine: machine.id, group_number: 2, part: 'seal', fitted_at: world.now() - 9e9, met_at: world.now() - 9e9, out_at: null, size_mm: 8, outside_mm: null, inside_mm: null, profile: null, material: null, side_up: null, shim_mm: null, fixing: null, why_out: null, came_out: null, by_person: null, by_name: 'Sam', at: world.now() - 9e9, superseded_by: null }));
    await here(world, 'seal-worn', { symptom: 'leak-at-rim', group: 2 });
    await world.press('ana', 'Finished');
    await world.press('ana', 'Worn seal');
    await world.press('ana', '8 mm seal');
    await world.press('ana', 'Skip');
    await world.press('ana', 'Skip');
    const old = () => world.tx((tx) => tx.selectFrom('seal_fitting').select(['out_at', 'why_out']).where('id', '=', 'old').executeTakeFirstOrThrow());
    expect((await old()).out_at).toBe(world.now());
    await world.press('ana', 'Correct it');
    await world.press('ana', 'What was fitted');
    await world.press('ana', 'Nothing');
    expect(await old()).toEqual({ out_at: null, why_out: null });
    await world.store.close();
  });

  test('every question of the end has a way back, and before the first one the visit goes on', async () => {
    const world = await openWorld(await open());
    const caseId = await here(world, 'seal-worn', { symptom: 'leak-at-rim', group: 2 });
    await world.press('ana', 'Finished');
    await world.press('ana', 'Not yet');
    expect(world.seen(ANA, 'Here since').labels).toContain('Finished');
    await world.press('ana', 'Finished');
    await world.press('ana', 'Worn seal');
    await world.press('ana', '8 mm seal');
    await world.press('ana', 'Numbers up');
    for (const question of ['The new seal', 'Fitted?', 'What was it?']) {
      await world.press('ana', 'Back');
      expect(world.seen(ANA, question).lines[0]).toContain(question);
    }
    await world.say('ana', 'not yet', ANA);
    expect((await world.tx((tx) => bookingOfCase(tx, caseId)))?.draft).toBeNull();
    // What is typed from now on is no answer any more.
    await world.say('ana', 'finished', ANA);
    await world.say('ana', 'worn seal', ANA);
    await world.say('ana', 'nothing', ANA);
    await world.say('ana', 'back', ANA);
    expect(world.seen(ANA, 'Fitted?')).toBeDefined();
    await world.say('ana', 'nothing', ANA);
    await world.say('ana', 'skip', ANA);
    await world.press('ana', 'Correct it');
    await world.press('ana', 'What it was');
    // From an old message, or from the question itself.
    await world.press('ana', 'Back', 'Fitted?');
    expect(world.seen(ANA, 'Closed,')).toBeDefined();
    expect(await closeOutOf(world, caseId)).toMatchObject({ cause: 'seal-worn', fitted: [] });
    await world.store.close();
  });

  test('a shim and how the seal sits are written at the end, typed or in the form, and corrected later', async () => {
    const world = await openWorld(await open());
    await here(world, 'seal-worn', { symptom: 'leak-at-rim', group: 2 });
    await world.press('ana', 'Finished');
    await world.press('ana', 'Worn seal');
    await world.say('ana', 'seal 8', ANA);
    await world.say('ana', 'it is in', ANA);
    expect(world.seen(ANA, 'Numbers up or down').lines).toEqual(['Numbers up or down, and a shim: "up, shim 0.5".']);
    await world.say('ana', 'numbers up, shim 0.5', ANA);
    await world.say('ana', 'skip', ANA);
    expect(world.seen(ANA, 'Closed').lines[0]).toMatch(/^Closed, \d\d:\d\d: a worn or hard seal, 8 mm seal, \d+ min\.$/);
    expect(world.seen(BAR, 'is finished').lines).toContain('Fitted: 8 mm seal (numbers up, 0.5 mm shim).');
    const inside = () => world.tx((tx) => tx.selectFrom('seal_fitting').select(['size_mm', 'side_up', 'shim_mm', 'material']).where('out_at', 'is', null).where('superseded_by', 'is', null).executeTakeFirst());
    expect(await inside()).toEqual({ size_mm: 8, side_up: 'up', shim_mm: 0.5, material: null });
    await world.press('ana', 'Correct it');
    await world.press('ana', 'How the seal sits');
    await world.press('ana', 'With a shim');
    await world.fill('ana', { shim: '8', kind: 'rubber.down' });
    expect(world.seen(ANA, 'shim').lines).toEqual(['I could not read that as a shim. Try 0.5']);
    await world.press('ana', 'With a shim');
    await world.fill('ana', { shim: '1', kind: 'rubber.down' });
    expect(await inside()).toEqual({ size_mm: 8, side_up: 'down', shim_mm: 1, material: 'rubber' });
    await world.press('ana', 'Add price');
    await world.fill('ana', { text: '40' });
    // The same size written once more sits as was said before.
    await world.press('ana', 'Correct it');
    await world.press('ana', 'What was fitted');
    await world.press('ana', '8 mm seal');
    expect(await inside()).toEqual({ size_mm: 8, side_up: 'down', shim_mm: 1, material: 'rubber' });
    await world.store.close();
  });

  test('what was read at one visit stands in the handoff of the next', async () => {
    const world = await openWorld(await open());
    await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', 'Nothing');
    await world.press('ana', 'Skip');
    await world.press('ana', 'Add readings');
    await world.fill('ana', { boiler: '1.4, 1.1', ten: '62, 60' });
    const machine = await world.tx((tx) => tx.selectFrom('machine').selectAll().executeTakeFirstOrThrow());
    const cafe = await world.tx((tx) => tx.selectFrom('cafe').selectAll().where('id', '=', world.cafe).executeTakeFirstOrThrow());
    const record = await world.tx((tx) => machineRecord(tx, cafe, machine, world.now()));
    expect(record.gauges.map(({ gauge, bar }) => [gauge, bar])).toEqual([['boiler', 1.1]]);
    expect(record.tenSeconds.map(({ group, millilitres }) => [group, millilitres])).toEqual([[1, 62], [2, 60]]);
    await world.store.close();
  });

  test('said to be fixed while a visit is agreed: asked once whether it is still wanted, and one press calls it off', async () => {
    const world = await openWorld(await open());
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, 'any'));
    await world.press('ana', 'Take');
    await world.raw('mia', press('case.end', caseId, 'fixed'), BAR);
    expect(world.seen(BAR, 'Shall Ana still come').labels).toEqual(['Yes, still come', 'Call it off']);
    await world.press('ola', 'Call it off', 'Shall Ana still come');
    expect((await world.tx((tx) => bookingOfCase(tx, caseId)))?.state).toBe('called off');
    expect(world.count(BAR, 'Shall Ana still come')).toBe(0);
    await world.store.close();
  });

  test('photos sent with the complaint are kept as files, reach the technician, and go with the café', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'files-'));
    const files = createFiles(folder);
    const world = await openWorld(await open(), undefined, files);
    const photo = (kind: string) => ({ name: 'x', kind, size: 4, fetch: async () => new Uint8Array([137, 80, 78, 71]) });
    await world.say('mia', 'right one keeps dripping even when nobody brews', BAR, [photo('image/png')]);
    expect(world.seen(BAR, 'kept for the technician').lines).toEqual(['The photo is kept for the technician.']);
    await world.say('mia', '', BAR, [photo('image/jpeg'), photo('application/pdf')]);
    const row = await world.tx((tx) => tx.selectFrom('fault_case').select(['id', 'photos']).executeTakeFirstOrThrow());
    const kept = JSON.parse(row.photos) as string[];
    expect([kept.length, readdirSync(join(folder, world.cafe)).sort()]).toEqual([2, [...kept].sort()]);
    await transact(world.store, [world.cafe], (tx) => tx.updateTable('fault_case').set({ step: 'verdict', question: null, verdict: JSON.stringify(verdictFor('group-valve-passes')) }).execute());
    await world.raw('ola', press('booking.book', row.id, 'any'));
    await world.press('ana', 'Details');
    await world.press('ana', '2 photos');
    expect(world.all().findLast(({ files: shown }) => shown.length > 0)).toMatchObject({ place: ANA, files: ['case-1.png', 'case-2.jpg'] });
    expect(await files.read(world.cafe, kept[0] ?? '')).toEqual(new Uint8Array([137, 80, 78, 71]));
    await transact(world.store, [world.cafe], (tx) => tx.updateTable('cafe').set({ state: 'gone', removed_at: world.now() }).execute());
    await housekeep(world.store, later(world.now(), KEPT.gone + 1), files);
    expect(readdirSync(folder)).toEqual([]);
    await world.store.close();
  });

  test('a group left out of use is put back by the technician\'s own press, and the café hears which', async () => {
    const world = await openWorld(await open());
    const stateOf = async () => (await world.tx((tx) => tx.selectFrom('machine_group').select('state').where('number', '=', 2).executeTakeFirstOrThrow())).state;
    await world.tx((tx) => tx.updateTable('machine_group').set({ state: 'out of use' }).where('number', '=', 2).execute());
    const caseId = await here(world);
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', 'Nothing');
    await world.press('ana', 'Skip');
    expect(world.seen(ANA, 'Closed').lines).toContain('Group 2 is still out of use for them.');
    const row = await world.tx((tx) => bookingOfCase(tx, caseId));
    await world.raw('mia', press('booking.freed', row?.id ?? '', '0'), BAR);
    expect(await stateOf()).toBe('out of use');
    await world.press('ana', 'Usable again');
    await world.press('ana', 'Safe to use again');
    expect(await stateOf()).toBe('in use');
    expect(world.seen(BAR, 'may be used again').lines[0]).toMatch(/^Ana says group 2 may be used again, \d\d:\d\d\.$/);
    await world.store.close();
  });

  test('photos from the bar reach the technician as pictures; what is no picture or too large is refused in words', async () => {
    const world = await openWorld(await open());
    const caseId = await world.verdict(verdictFor('group-valve-passes'));
    await world.raw('ola', press('booking.book', caseId, 'any'));
    const photo = (name: string, kind: string, size: number) => ({ name, kind, size, fetch: async () => new Uint8Array([137, 80, 78, 71]) });
    await world.press('mia', 'Add photo', 'Ana is asked');
    expect(await world.fill('mia', { shows: 'leak' }, [photo('a.png', 'image/png', 4), photo('b.pdf', 'application/pdf', 4), photo('c.jpg', 'image/jpeg', 9_000_000)])).toContain('One photo is kept');
    await world.press('ana', 'Details');
    await world.press('ana', '1 photo');
    const pictures = world.all().findLast(({ files }) => files.length > 0);
    expect(pictures).toMatchObject({ place: ANA, files: ['photo-1.png'] });
    await world.press('mia', 'Add photo', 'Ana is asked');
    expect(await world.fill('mia', {}, [photo('b.pdf', 'application/pdf', 4)])).toContain('Nothing kept');
    await world.store.close();
  });
});

