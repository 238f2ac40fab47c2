import { expect, test } from 'vitest';
import { isChoice, type Message } from '../../src/chat/message.ts';
import type { Answer } from '../../src/chat/incoming.ts';
import { BAR, checkStyle, linesOf, openWorld } from './world.ts';
import { begin } from './walk.ts';

const SEEDS = [1, 2, 3, 4, 5, 6];
const STEPS = 160;

/** Numbers in [0, 1), the same for a seed on every machine (a linear congruential generator of Numerical Recipes). */
const randomOf = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
};

const WORDS = [
  'yes', 'no', 'back', 'later', 'leave it', 'keep', '2', '14:02', 'tue-sun 8-22:30, closed mon', 'mon 1-2, tue 3-4, wed 5-6, thu 7-8, fri 9-10, sat 11-12, sun 13-14', 'Ana 555 0134', 'names: Mia, Sam', '120',
  'Maximiliane-Wilhelmine von und zu Hohenstein-Burgenfels +34 555 0134 999', 'under the till, behind the second grinder from the left, next to the box with the spare baskets and the towels',
  '24-26 dec closed', '😀😀😀😀', '[name] # \' <b>', 'x'.repeat(199), 'x'.repeat(1400), 'EUR', 'Spain', '4.5', 'start tonight', 'change the hours', 'people', 'none',
];

/**
 * Anybody may press anything in any order: whatever comes back fits every chat and the house's style, every button on
 * it leads somewhere, and nothing stumbles.
 */
test.each(SEEDS)('a hundred and sixty odd presses, picks, forms and words in a row (seed %i)', async (seed) => {
  const random = randomOf(seed);
  const oneOf = <T>(items: readonly T[]): T => items[Math.floor(random() * items.length)] as T;
  const world = await openWorld();
  let at: Message = await begin(world, BAR, 'The Lantern Street Coffee House and Bakery of Old Valencia', oneOf(['Valencia', 'Nowhere in particular at all, a place with a long name', 'Perth']));
  const seen = new Set<string>();

  const look = (answer: Answer | undefined): void => {
    if (!answer || answer.kind === 'form') return;
    const shown = answer.kind === 'noted' ? answer.private : answer.message;
    if (!shown) return;
    checkStyle(shown);
    expect(linesOf(shown)[0], `seed ${seed}`).not.toMatch(/went wrong|older message/);
    seen.add(linesOf(shown)[0] ?? '');
    if ((shown.rows ?? []).length > 0) at = shown;
  };

  for (let step = 0; step < STEPS; step++) {
    const rows = at.rows ?? [];
    const row = rows.length > 0 && random() < 0.7 ? oneOf(rows) : undefined;
    if (!row) {
      const replies = await world.say('ola', oneOf(WORDS));
      replies.forEach((message) => look({ kind: 'say', message }));
    } else if (isChoice(row)) {
      const options = typeof row.from === 'string' ? [{ value: row.from === 'places' ? 'c.bar' : 'bar', label: 'Bar' }] : row.from;
      const picked = oneOf(options.filter(({ value }) => value !== 'remove'));
      look(await world.raw({ kind: 'press', press: row.press, on: 'm', picked: [picked.value], pickedNames: { [picked.value]: picked.label } }, 'ola'));
    } else {
      const each = oneOf(row);
      if (!('press' in each) || each.press.kind === 'routine.jobs') continue;
      const answer = await world.raw({ kind: 'press', press: each.press, on: 'm' }, oneOf(['ola', 'ola', 'ola', 'mia']));
      look(answer);
      if (answer?.kind === 'form') look(await world.raw({ kind: 'answers', press: answer.form.submit, answers: Object.fromEntries(answer.form.questions.map(({ key }) => [key, [oneOf(WORDS)]])) }, 'ola'));
    }
    if (random() < 0.1) look({ kind: 'private', message: await world.command('ola', 'cafe') });
  }
  expect(seen.size).toBeGreaterThanOrEqual(10);
});
