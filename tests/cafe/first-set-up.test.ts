import { expect, test } from 'vitest';
import { cafesAt, groupsOf, machinesOf, membersOf, techniciansOf } from '../../src/cafe/records.ts';
import { BAR, labelsOf, linesOf, openWorld } from './world.ts';

test('the first set-up, on a phone: script 1.1', async () => {
  const world = await openWorld();
  let at = await world.command('ola', 'cafe');
  expect(linesOf(at)).toEqual(["Hello. A dozen short answers, and tonight's list is ready.", 'I will write in English. You can leave and carry on any time.']);

  at = await world.fill('ola', await world.open('ola', at, 'Start'), { name: 'Lantern Street', town: 'Valencia' });
  expect(linesOf(at)).toEqual(['Valencia. Is it 14:02 there now?']);

  at = await world.tap('ola', at, 'Yes');
  expect(linesOf(at)).toEqual(['When are you open? Write it as on your door.', 'For example: tue-sun 8-22:30']);
  expect(labelsOf(at)).toEqual(['Write hours', 'Later', 'Back', 'Leave it']);

  at = await world.write('ola', at, 'Write hours', 'tue-sun 8-22:30, closed mon');
  expect(linesOf(at)).toEqual(['Tue to Sun 8:00 to 22:30, Monday closed.', 'Cleaning starts 30 minutes before: 22:00.']);
  expect(labelsOf(at)).toEqual(["That's it", 'Other start', 'Correct hours', 'Back', 'Leave it']);

  at = await world.tap('ola', at, "That's it");
  expect(linesOf(at)).toEqual(['The coffee machine: how many groups?', 'A group is a place where a handle locks in.']);

  at = await world.tap('ola', at, '2');
  expect(linesOf(at)).toEqual(['Two. I call the left one group 1, as you stand at it.', 'Is there a big lever on each, pulled by hand?']);

  at = await world.tap('ola', at, 'No lever');
  expect(linesOf(at)).toEqual(['Stop a shot: does water spit from a pipe into the drip tray?']);
  expect(labelsOf(at)).toEqual(['Yes', 'No', 'Not sure', 'Back', 'Leave it']);

  at = await world.tap('ola', at, 'Yes');
  expect(linesOf(at)).toEqual(['Good, so it can be backflushed.', 'Who works the bar? Pick people or a role.', 'First names without an account: names: Mia, Sam']);

  at = await world.pick('ola', at, 'A role of this server', { bar: 'bar' });
  expect(linesOf(at)).toEqual(['If it ever smells of burning: what switches the machine off?', 'Say where. I show this when it matters.']);

  at = await world.write('ola', at, 'Write it', 'black switch under the till marked COFFEE');
  expect(linesOf(at)).toEqual(['Emergency number: 112 for Spain. Right for you?']);

  at = await world.tap('ola', at, '112 is right');
  expect(linesOf(at)).toEqual(['Your technician: name and telephone?', 'I write to nobody until you and they say yes.']);

  at = await world.write('ola', at, 'Write it', 'Ana 555 0134');
  expect(linesOf(at)).toEqual(['Ready. Tonight at 22:00 here, groups 1 and 2:', 'backflush, brush seals, soak baskets, wands and tray.', 'Not known yet: seal sizes, water, prices. One a week will do.']);
  expect(labelsOf(at)).toEqual(['Start tonight', 'Change jobs', 'Show a test', 'Back', 'Leave it']);

  at = await world.tap('ola', at, 'Start tonight');
  expect(linesOf(at)[0]).toBe('All set. I write next at 22:00. To change anything: /cafe');

  await world.tx(async (tx) => {
    const [cafe] = await cafesAt(tx, BAR);
    if (!cafe) throw new Error('no café');
    expect(cafe).toMatchObject({ name: 'Lantern Street', town: 'Valencia', zone: 'Europe/Madrid', country: 'ES', currency: 'EUR', state: 'live', step: null, pending: null, bar_role: 'bar', emergency: '112', switch_off: 'black switch under the till marked COFFEE' });
    const [machine] = await machinesOf(tx, cafe.id);
    expect(machine).toMatchObject({ groups: 2, lever: 'no', exhaust: 'yes', kind: null });
    expect((await groupsOf(tx, machine?.id ?? '')).map(({ number }) => number)).toEqual([1, 2]);
    expect((await membersOf(tx, cafe.id)).map(({ person, role }) => [person, role])).toEqual([['ola', 'owner']]);
    expect((await techniciansOf(tx, cafe.id)).map(({ name, telephone, state }) => [name, telephone, state])).toEqual([['Ana', '555 0134', 'named']]);
    expect(world.live).toEqual([cafe.id]);
  });
});

test('everything that can be skipped is skipped: live after twelve answers, of 25 at most', async () => {
  const world = await openWorld();
  let at = await world.command('ola', 'cafe');
  // The press on [Start] and the form behind it.
  let answers = 2;
  at = await world.fill('ola', await world.open('ola', at, 'Start'), { name: 'Lantern Street', town: 'Valencia' });
  while (!labelsOf(at).some((label) => label.startsWith('Start'))) {
    const label = ['Later', 'Not sure', 'Not yet', 'Only me for now', 'Yes', '2', '112 is right'].find((each) => labelsOf(at).includes(each));
    if (label === undefined) throw new Error(`no way on from ${linesOf(at).join(' ')}`);
    at = await world.tap('ola', at, label);
    answers++;
    expect(answers).toBeLessThanOrEqual(25);
  }
  at = await world.tap('ola', at, 'Start');
  answers++;
  expect(linesOf(at)[0]).toBe('All set. Tell me your hours and I begin: /cafe');
  expect(world.live).toHaveLength(1);
  expect(answers).toBe(12);
});
