import { describe, expect, test } from 'vitest';
import { cafesAt } from '../../src/cafe/records.ts';
import { asked, STEPS, walkTo } from './walk.ts';
import { BAR, directTo, labelsOf, linesOf, openWorld, type World } from './world.ts';

const cafeNow = (world: World) => world.tx(async (tx) => (await cafesAt(tx, BAR))[0]);

describe.each(STEPS)('at the step $step', ({ step, asks, answer }) => {
  const at = STEPS.findIndex((each) => each.step === step);

  test('leave it, and /cafe carries on at the same question; nothing is lost by it', async () => {
    const world = await openWorld();
    const left = await world.tap('ola', await walkTo(world, step), 'Leave it');
    expect(linesOf(left)[0]).toMatch(/^Saved\. /);
    expect(labelsOf(left)).toEqual(['Carry on']);
    expect(asked(await world.command('ola', 'cafe'))).toBe(step);
    expect(asked(await world.tap('ola', left, 'Carry on'))).toBe(step);
    expect(asked(await world.command('ola', 'cafe', directTo('ola'))), 'from direct messages').toBe(step);
  });

  test('back goes to the question before, and the answer there may be kept or given anew', async () => {
    const world = await openWorld();
    let message = await world.tap('ola', await walkTo(world, step), 'Back');
    // What was read but not yet told right is dropped first.
    if (step === 'zone') {
      expect(linesOf(message)[0]).toBe('What time is it at the café now?');
      message = await world.tap('ola', message, 'Back');
      expect(linesOf(message)[0]).toBe('What is the café called, and in which town?');
      expect(labelsOf(message)).not.toContain('Back');
      return;
    }
    const before = STEPS[at - 1];
    expect(step === 'hours' ? linesOf(message)[0] : asked(message)).toBe(step === 'hours' ? 'What time is it at the café now?' : before?.step);
    expect(labelsOf(message)).toContain('Keep as it is');
    expect(asked(await world.tap('ola', message, 'Keep as it is'))).toBe(step);
  });

  test('a button of an earlier question changes nothing and shows the present one', async () => {
    const world = await openWorld();
    const message = await walkTo(world, step);
    const after = await answer(world, message, BAR);
    const stored = await cafeNow(world);
    const again = await world.tap('ola', message, labelsOf(message).find((label) => !['Write it', 'Write hours', 'Leave it', 'Change'].includes(label) && !label.startsWith('<')) ?? '');
    expect(step === 'ready' ? linesOf(again)[0] : asked(again)).toBe(step === 'ready' ? linesOf(after)[0] : asked(after));
    expect(await cafeNow(world)).toEqual(stored);
  });

  test('words that make no sense get one plain sentence and the question once more', async () => {
    const world = await openWorld();
    await walkTo(world, step);
    // Any words can be a place of a switch; only none at all cannot.
    if (step === 'switch' || step === 'ready') return expect((await world.say('ola', '   ')).map((each) => linesOf(each)[0])).toContain('I see no words in that. Write three words, or press a button.');
    const [reply, ...more] = await world.say('ola', '?? %%');
    expect(more).toEqual([]);
    if (!reply) throw new Error('no answer');
    expect(linesOf(reply)[0]).toMatch(/cannot read|do not know|need|see no/);
    expect(linesOf(reply).slice(1).join(' ')).toContain(step === 'zone' ? 'Is it' : asks);
  });

  test('words too long for an answer are sent back, and nothing of them is kept', async () => {
    const world = await openWorld();
    await walkTo(world, step);
    const before = await cafeNow(world);
    const [reply] = await world.say('ola', 'behind the grinder '.repeat(60).trim());
    expect(reply && linesOf(reply)[0]).toMatch(/too long|cannot read|did not understand|do not know|need|see no/);
    expect(await cafeNow(world)).toEqual(before);
  });

  test('nobody but the owner can answer, whatever they press', async () => {
    const world = await openWorld();
    const message = await walkTo(world, step);
    const before = await cafeNow(world);
    for (const who of ['mia', 'stranger', 'ana']) expect(linesOf(await world.tap(who, message, 'Leave it'))).toEqual(['That is for the owner of this café. I have changed nothing.']);
    expect(await world.say('mia', 'back')).not.toEqual([]);
    expect(await cafeNow(world)).toEqual(before);
  });
});
