import { describe, expect, test } from 'vitest';
import { direct, personId } from '../../src/chat/who.ts';
import { housekeep, KEPT } from '../../src/store/housekeeping.ts';
import { later } from '../../src/time/instant.ts';
import type { Incoming } from '../../src/chat/incoming.ts';
import { at, atLanternStreet, inBar } from '../delivery/fixture.ts';
import { databases } from '../store/databases.ts';

let count = 0;
/** Mia writes to the bot directly, where the platform tells no roles. */
const directly = (text: string): Incoming => ({ kind: 'words', id: `d${++count}`, by: { id: personId('mia'), name: 'Mia', roles: [], manages: false }, at: direct(personId('mia')), text, readable: true, addressed: true });

describe.each(databases)('the people at the bar in direct messages, on the $name database', ({ open }) => {
  const bench = async () => {
    const store = await open();
    const made = await atLanternStreet(store);
    at(made.clock, '2027-03-09T21:00:05Z');
    await made.bot.tick(made.clock.now());
    const say = async (incoming: Incoming): Promise<string> => {
      await made.bot.router.take(incoming);
      await made.bot.sender.drain();
      return made.chat.texts().at(-1) ?? '';
    };
    return { ...made, say, store };
  };

  test('who was seen at the bar may say "done" directly; a stranger may not', async () => {
    const { say } = await bench();
    expect(await say(directly('done'))).not.toContain('Thanks, Mia');
    await say(inBar('mia', { text: 'hello' }));
    expect(await say(directly('done'))).toContain('Thanks, Mia');
  });

  test('who lost the role is forgotten with the next word in the channel', async () => {
    const { say } = await bench();
    await say(inBar('mia', { text: 'hello' }));
    const without = inBar('mia', { text: 'hello' });
    await say({ ...without, by: { ...without.by, roles: ['kitchen'] } });
    expect(await say(directly('done'))).not.toContain('Thanks, Mia');
  });

  test('two weeks after they were last seen nothing of it is left', async () => {
    const { say, clock, store } = await bench();
    await say(inBar('mia', { text: 'hello' }));
    await housekeep(store, later(clock.now(), KEPT.bar + 1000));
    expect(await say(directly('done'))).not.toContain('Thanks, Mia');
  });
});
