import { describe, expect, test } from 'vitest';
import { seedDemo } from '../../src/cafe/demo.ts';
import { cafesAt, membersOf } from '../../src/cafe/records.ts';
import { days } from '../../src/time/instant.ts';
import { databases } from '../store/databases.ts';
import { asked, walkTo } from './walk.ts';
import { BAR, directTo, linesOf, openWorld } from './world.ts';

describe.each(databases)('on the $name database', ({ open }) => {
  test('set up, asked weekly, changed, forgotten: the same story', async () => {
    const store = await open();
    const world = await openWorld({ store });
    await world.tap('ola', await walkTo(world, 'live'), 'Yes, call us');
    await world.say('ola', 'names: Mia, Sam');
    await world.pass(days(9));
    const [question] = await world.posted();
    if (!question) throw new Error('no question');
    expect(linesOf(await world.tap('ola', question.message, '8 mm', directTo('ola')))).toEqual(['Noted. Seal size: 8 mm']);
    const people = await world.tap('ola', await world.command('ola', 'cafe'), 'People');
    expect(linesOf(people)[1]).toBe('Bar: everyone with the role; Mia and Sam');
    await world.tap('ola', await world.tap('ola', await world.command('ola', 'mydata'), 'Take my name out'), 'Take it out');
    const [cafe] = await world.tx((tx) => cafesAt(tx, BAR));
    expect((await world.tx((tx) => membersOf(tx, cafe?.id ?? ''))).map(({ name }) => name)).toEqual(['Mia', 'Sam']);
    await store.close();
  });

  test('the form of the name sent five times at once makes one café', async () => {
    const store = await open();
    const world = await openWorld({ store });
    const form = await world.open('ola', await world.command('ola', 'cafe'), 'Start');
    const all = await Promise.all(Array.from({ length: 5 }, () => world.fill('ola', form, { name: 'Lantern Street', town: 'Valencia' })));
    expect(all.map(asked)).toEqual(Array.from({ length: 5 }, () => 'zone'));
    expect(await world.tx((tx) => cafesAt(tx, BAR))).toHaveLength(1);
    await store.close();
  });

  test('a button pressed five times at once counts once', async () => {
    const store = await open();
    const world = await openWorld({ store });
    const groups = await walkTo(world, 'groups');
    const all = await Promise.all(Array.from({ length: 5 }, () => world.tap('ola', groups, '2')));
    expect(all.map(asked)).toEqual(Array.from({ length: 5 }, () => 'lever'));
    expect(await world.tx((tx) => tx.selectFrom('machine').select('id').execute())).toHaveLength(1);
    expect(await world.tx((tx) => tx.selectFrom('machine_group').select('id').execute())).toHaveLength(2);
    await store.close();
  });

  test('the invented café is there once', async () => {
    const store = await open();
    const world = await openWorld({ store });
    for (let n = 0; n < 2; n++) await world.tx((tx) => seedDemo(tx, world.needs.ids, world.now(), world.needs.onLive));
    expect(world.live).toHaveLength(1);
    await store.close();
  });
});
