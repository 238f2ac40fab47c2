import { describe, expect, test } from 'vitest';
import { SAID } from '../../src/store/post.ts';
import { read } from '../../src/store/transact.ts';
import { at, atLanternStreet, inBar } from '../delivery/fixture.ts';
import { embedded } from '../store/databases.ts';
import { count, seen } from './stage.ts';
import { settings } from './stages.ts';

const LIST = 'Closing, groups 1 and 2';

test('what colleagues ask each other in the channel is left to them; said to the bot it is answered', async () => {
  const store = await embedded.open();
  const { bot, clock } = await atLanternStreet(store);
  at(clock, '2027-03-09T21:05:00Z');
  await bot.tick(clock.now());
  const answered = async (text: string, addressed: boolean): Promise<number> => {
    await bot.router.take({ ...inBar('mia', { text }), addressed } as Parameters<typeof bot.router.take>[0]);
    return (await read(store, (tx) => tx.selectFrom('outbox').select('id').where('kind', '=', SAID).execute())).length;
  };
  for (const text of ['did you do the wands sam', 'who has done the milk order', 'later', 'tomorrow', 'not yet', '1 and 2']) expect([text, await answered(text, false)]).toEqual([text, 0]);
  expect(await answered('is it done', true)).toBe(1);
  await store.close();
});

describe.each(settings)('a list answered in a word or two ($name)', ({ open }) => {
  test('one group done is a part: shown so, made whole by the other, and nothing else is marked', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'done group 1');
    expect((await seen(stage, 'Group 1 noted')).lines).toEqual(['Thanks, Sam. Group 1 noted: backflush and seals and rims.', 'The rest stays open.']);
    await stage.until('22:06');
    expect((await seen(stage, LIST)).lines.join(' ')).toContain('Still open: 1 backflush (group 1 done), 2 seals and rims (group 1 done), 3 soak');
    await stage.person('mia').replies(LIST, 'backflush done group 2');
    expect((await seen(stage, 'Thanks, Mia. 1 done')).lines).toEqual(['Thanks, Mia. 1 done, 22:06.']);
    expect((await seen(stage, LIST)).lines.join(' ')).toContain('Still open: 2 seals and rims (group 1 done), 3 soak');
    await stage.close();
  });

  test('a question is told how the list stands, and marks nothing', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'is it done');
    expect(await count(stage, 'Thanks')).toBe(0);
    expect(await count(stage, LIST)).toBe(2);
    await stage.close();
  });

  test('later, after so many minutes, tomorrow: asked again then, or left over; taken back in words', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'in 20 minutes');
    expect((await seen(stage, 'I ask again')).lines).toEqual(['I ask again at 22:25.']);
    await stage.until('22:30');
    expect(await count(stage, LIST)).toBe(2);
    await stage.person('sam').replies(LIST, 'skip it tonight');
    expect((await seen(stage, 'It comes round again by itself.')).lines).toEqual(['Left over tonight. It comes round again by itself.']);
    await stage.person('sam').says('undo that', 'direct');
    expect((await seen(stage, 'Taken back', 'Sam')).lines).toEqual(['Taken back. The list is open again.']);
    expect((await seen(stage, LIST)).lines.join(' ')).not.toContain('Left over');
    await stage.person('mia').replies(LIST, 'undo that');
    expect((await seen(stage, 'nothing to take back')).lines).toEqual(['There is nothing to take back on this list.']);
    await stage.close();
  });

  test('not yet marks nothing, bare numbers are asked about, "not for us" leads to the owner', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'not yet');
    expect((await seen(stage, 'nothing is marked')).lines).toEqual(['All right, nothing is marked. The list stays open.']);
    await stage.person('sam').replies(LIST, '1, 2 and 4');
    await stage.person('sam').presses('Done', '1, 2 and 4: done?');
    expect((await seen(stage, LIST)).lines.join(' ')).toContain('3 of 4 done');
    await stage.person('sam').replies(LIST, 'not for us');
    expect((await seen(stage, 'in the way')).buttons).toContain('Not for us');
    await stage.close();
  });

  test('with several lists open the one is meant whose job is named; a bare number is asked about, and marks no more than it says', async () => {
    const stage = await open({ start: '2027-03-11T05:20:00Z' });
    await stage.until('7:45');
    await stage.person('sam').says('done screens');
    expect((await seen(stage, 'rinsed and back in?')).lines.join(' ')).toContain('1, the screens: rinsed and back in?');
    await stage.person('sam').says('done 2');
    await stage.person('mia').says('done 1');
    await stage.person('mia').presses('Before start 06:30', 'More than one list');
    expect((await seen(stage, 'Before switching on')).lines.join(' ')).not.toContain('2 of 2');
    await stage.close();
  });

  test('done yesterday counts after a press', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'did the wands yesterday');
    await stage.person('sam').presses('Done', 'does it count for 4');
    expect((await seen(stage, LIST)).lines.join(' ')).toContain('Done: 4 wands, tray, drain');
    await stage.close();
  });

  test('a typed "rinsed" clears nothing: the press is put before whoever says so', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'done but the soak is still going');
    await stage.until('tomorrow 7:40');
    await stage.person('mia').says('ok rinsed');
    expect((await seen(stage, 'On record still')).lines).toEqual(['Good. On record still: baskets may be in detergent.', 'Rinsed well and clear? One press, so that everyone sees it.']);
    expect(await count(stage, 'Before the first coffee')).toBe(1);
    await stage.person('mia').presses('Rinsed', 'On record still');
    await stage.until('7:50');
    await stage.person('mia').says('rinsed');
    expect(await count(stage, 'On record still')).toBe(0);
    await stage.close();
  });

  test('soap in place of detergent is refused, and is no alarm', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').replies(LIST, 'can I use dish soap');
    expect((await seen(stage, 'Only the detergent')).lines).toEqual(['No. Only the detergent made for it goes into the machine.', 'Without it: plain water tonight. Never mix cleaners.']);
    expect(await count(stage, 'Stop serving')).toBe(0);
    await stage.close();
  });

  test('words to another question, or to everybody, are no answer to the list', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('mia').says('the right group drips when nobody brews');
    await stage.person('mia').says('later');
    expect(await count(stage, 'When shall I ask again')).toBe(0);
    await stage.close();
  });
});
