import { readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { press } from '../../../src/chat/press.ts';
import { direct, personId, type PlaceId } from '../../../src/chat/who.ts';
import { embedded } from '../../store/databases.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const PAGE = 'docs/handoff.md';
const ANA = direct(personId('ana'));
const OLA = direct(personId('ola'));

/** The blocks of the page, each below its mark; `HANDOFF=write` writes them anew. */
const hold = (name: string, text: string): void => {
  const page = readFileSync(PAGE, 'utf8');
  const found = new RegExp(`(<!-- ${name} -->\\n)\`\`\`[\\s\\S]*?\`\`\``).exec(page);
  if (!found) throw new Error(`${PAGE} has no block "${name}"`);
  if (process.env['HANDOFF'] === 'write') writeFileSync(PAGE, page.replace(found[0], () => `${found[1] ?? ''}${text}`));
  else expect(found[0], name).toBe(`${found[1] ?? ''}${text}`);
};

const blockOf = (world: World) => (place: PlaceId, holds: string): string => {
  const { lines, rows } = world.seen(place, holds);
  return ['```', ...lines, ...rows.map((labels) => `[${labels.join('] [')}]`), '```'].join('\n');
};

test('the page on the handoff shows what is really posted', async () => {
  const world = await openWorld(await embedded.open());
  const block = blockOf(world);
  const caseId = await world.verdict(verdictFor('group-valve-passes', { choice: { ...verdictFor('group-valve-passes').choice, meanwhile: 'group-out' } }), {
    complaint: 'right one keeps dripping even when nobody brews', answers: { 'water-amount': 'drips', 'drip-ten-min': 'still', 'drip-speed': 'every-second', onset: 'slowly' },
  });
  await world.raw('mia', press('booking.ask', caseId), BAR);
  hold('owner', block(OLA, 'Needs Ana'));
  await world.press('ola', 'Either');
  hold('asked', block(ANA, 'Suits them'));
  await world.press('ana', 'Details');
  hold('words', block(ANA, 'Tried:'));
  await world.press('ana', 'Answers');
  hold('answers', block(ANA, 'Only drips'));
  await world.press('ana', 'The machine');
  hold('machine', block(ANA, 'Heat exchanger'));
  await world.press('ana', 'Take Wed 15:00');
  hold('taken', block(ANA, 'Yours:'));
  hold('bar', block(BAR, 'Ana has taken it'));
  await world.until('tomorrow 14:40');
  await world.press('ana', 'On my way');
  await world.until('15:00');
  await world.press('ana', "I'm here");
  await world.until('35m');
  await world.press('ana', 'Finished');
  hold('what', block(ANA, 'What was it?'));
  await world.press('ana', 'Something else');
  await world.fill('ana', { text: 'dirt in the valve' });
  hold('fitted', block(ANA, 'Fitted?'));
  await world.press('ana', 'Valve kit');
  hold('word', block(ANA, 'A word for the café?'));
  await world.say('ana', 'scale in the valve, change the filter this week', ANA);
  hold('closed', block(ANA, 'Closed,'));
  hold('told', block(BAR, 'Ana is finished'));
  await world.store.close();
});

test('and the one after a danger', async () => {
  const world = await openWorld(await embedded.open());
  const block = blockOf(world);
  await world.say('sam', 'smells like burning behind the machine', BAR);
  await world.press('sam', 'It is off');
  await world.press('sam', 'All fine');
  hold('urgent', block(ANA, 'Urgent:'));
  await world.press('sam', 'Still smells');
  expect(world.seen(ANA, 'Urgent:').lines[1]).toBe('Safe: no. Off since 10:05. It goes on.');
  await world.press('ana', 'Details');
  hold('urgent-words', block(ANA, 'Tried:'));
  await world.press('ana', 'Take today');
  hold('urgent-taken', block(ANA, 'Yours:'));
  await world.press('ana', "I'm here");
  await world.until('40m');
  await world.press('ana', 'Finished');
  await world.say('ana', 'short in a relay', ANA);
  await world.say('ana', '1 relay', ANA);
  await world.say('ana', 'skip', ANA);
  hold('urgent-closed', block(ANA, 'Closed,'));
  await world.press('ana', 'Usable again');
  hold('urgent-free', block(ANA, 'You say that it is safe'));
  await world.store.close();
});
