import { describe, expect, test } from 'vitest';
import { cafeShelf, stockOn, usedAt, vanOf } from '../../../src/parts/records.ts';
import { press } from '../../../src/chat/press.ts';
import { direct, personId } from '../../../src/chat/who.ts';
import { databases } from '../../store/databases.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const ANA = direct(personId('ana'));

const onHand = async (world: World, part: string): Promise<number> => (await world.tx((tx) => stockOn(tx, vanOf('ana')))).get(part)?.onHand ?? 0;

const agreed = async (world: World): Promise<void> => {
  const caseId = await world.verdict(verdictFor('group-valve-passes'));
  await world.raw('ola', press('booking.book', caseId, '2027-03-09'));
  await world.press('ana', 'Take');
};

describe.each(databases)('what the van holds ($name)', ({ open }) => {
  test('told in words, shown, counted anew; a bar person has no van', async () => {
    const world = await openWorld(await open());
    await world.say('ana', 'van', ANA);
    expect(world.seen(ANA, 'I know nothing of your van yet.').labels).toEqual(['The usual things']);
    await world.say('ana', 'van: 2 seals 8.5, 3 screens and a thing', ANA);
    expect(world.seen(ANA, 'In your van').lines).toEqual(['In your van: 2 seals of 8.5 mm and 3 screens.', 'I do not know: a thing.']);
    await world.say('ana', 'van + 1 pump', ANA);
    await world.say('ana', 'van: used 1 screen', ANA);
    await world.say('ana', 'van: 1 seal 8.5', ANA);
    expect([await onHand(world, 'seal-8.5'), await onHand(world, 'screen'), await onHand(world, 'pump')]).toEqual([1, 2, 1]);
    await world.say('ana', 'van: 2 keypads, 2 relays, 2 couplings, 2 inlet strainers, 2 fill valves, 2 level probes, 2 hot tap kits, 2 pumps, 2 handles, 2 baskets', ANA);
    await world.say('ana', 'van: 1 gauge, 1 steam knob, 1 pump motor, 1 jet, 1 mixer valve, 1 tank sensor, 1 brew probe, 1 vacuum breaker', ANA);
    await world.say('ana', 'van: 1 widget', ANA);
    expect(world.seen(ANA, 'I do not know: 1 widget').lines).toHaveLength(4);
    expect(world.seen(ANA, 'I do not know: 1 widget').lines.join('#')).toMatch(/ …#I do not know: 1 widget\.$/);
    await world.say('mia', 'van: 2 screens', BAR);
    expect((await world.tx((tx) => stockOn(tx, vanOf('mia')))).size).toBe(0);
    await world.store.close();
  });

  test('loaded for a visit, used at its end, corrected, and the rest put back', async () => {
    const world = await openWorld(await open());
    await world.say('ana', 'van: 1 screen', ANA);
    await agreed(world);
    await world.command('ana', 'visits');
    const kit = await world.press('ana', 'What to bring');
    expect(kit.split('\n')[0]).toBe('Bring: valve kit.');
    await world.press('ana', 'Loaded');
    expect(await onHand(world, 'valve-kit')).toBe(1);
    await world.press('ana', "I'm here");
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', 'Valve kit');
    await world.press('ana', 'Skip');
    expect(await onHand(world, 'valve-kit')).toBe(0);
    await world.press('ana', 'Correct it');
    await world.press('ana', 'What was fitted');
    await world.press('ana', 'Nothing');
    expect(await onHand(world, 'valve-kit')).toBe(1);
    await world.command('ana', 'visits');
    await world.press('ana', 'What to bring');
    await world.press('ana', "Put back what's left");
    expect([await onHand(world, 'valve-kit'), await onHand(world, 'screen')]).toEqual([0, 1]);
    await world.store.close();
  });

  test('the café has the part and the van does not: it comes off the café\'s shelf', async () => {
    const world = await openWorld(await open());
    await world.say('ola', 'stock: 2 valve kits', BAR);
    expect(world.seen(BAR, 'On the shelf of').lines).toEqual(['On the shelf of Lantern Street: 2 valve kits.']);
    await world.say('ana', 'van: 1 screen', ANA);
    await agreed(world);
    await world.press('ana', "I'm here");
    await world.press('ana', 'Finished');
    await world.press('ana', 'Valve passes');
    await world.press('ana', 'Valve kit');
    await world.press('ana', 'Skip');
    const shelf = await world.tx((tx) => stockOn(tx, cafeShelf(world.cafe)));
    expect(shelf.get('valve-kit')).toMatchObject({ onHand: 1, unsure: false });
    const booking = await world.tx((tx) => tx.selectFrom('booking').select('id').executeTakeFirstOrThrow());
    expect((await world.tx((tx) => usedAt(tx, `${booking.id}.0`))).map(({ part, count }) => [part, count])).toEqual([['valve-kit', 1]]);
    await world.store.close();
  });
});
