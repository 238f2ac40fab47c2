import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { transact } from '../../src/store/transact.ts';
import { at, atLanternStreet, inBar, textOf } from '../delivery/fixture.ts';
import { databases, embedded } from '../store/databases.ts';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';
import { terminalStage } from './terminal-stage.ts';

describe.each(settings)('short words to a list ($name)', ({ open }) => {
  test('a bare "cant" after the list is about the list: the reason is asked, and no fault is looked for', async () => {
    const stage = await open();
    await stage.until('22:06');
    await stage.person('mia').says('cant');
    expect((await seen(stage, 'in the way')).lines).toEqual(['That happens. What is in the way?']);
    expect((await seen(stage, 'in the way')).buttons).toEqual(['No supplies', 'No time', 'Broken', 'Not trained', 'Not for us']);
    expect(await count(stage, 'Cannot be shut')).toBe(0);
    await stage.person('mia').presses('No time', 'in the way');
    expect((await seen(stage, 'Noted, 1, 2, 3 and 4 left over')).lines[0]).toContain('no time');
    await stage.close();
  });

  test('with two lists open a bare "cannot" is taken for the newest', async () => {
    const stage = await open({ start: '2027-03-11T05:20:00Z' });
    await stage.until('7:45');
    expect(await count(stage, 'Before switching on, machine cold')).toBe(1);
    await stage.person('mia').says('cannot');
    await stage.person('mia').presses('No time', 'in the way');
    expect((await seen(stage, 'Opening')).lines.join(' ')).toContain('Left over');
    expect((await seen(stage, 'Before switching on, machine cold')).lines.join(' ')).not.toContain('Left over');
    await stage.close();
  });

  test('"done, but the soak is still going": the soak is noted, the rest is one tap', async () => {
    const stage = await open();
    await stage.until('22:20');
    await stage.person('sam').says('done, but the soak is still going');
    expect((await seen(stage, 'still soaking')).lines).toEqual(['Noted: 3 still soaking.', '1, 2 and 4 are left: done?']);
    await stage.person('sam').presses('Done: the rest', 'still soaking');
    expect((await seen(stage, 'Closing, groups')).lines).toEqual(['Closing, groups 1 and 2: 3 of 4 done, 22:20, Sam', 'Done: 1 backflush, 2 seals and rims, 4 wands, tray, drain', 'Still soaking: 3 soak']);
    await stage.until('tomorrow 7:31');
    expect((await seen(stage, 'Before the first coffee')).lines[0]).toContain('baskets may be in detergent');
    await stage.close();
  });
});

describe.each(settings)('/today ($name)', ({ open }) => {
  test('names no job that needs the machine on while it must stay off', async () => {
    const stage = await open();
    await stage.until('21:59');
    await stage.person('sam').says('smells like burning behind the machine');
    await stage.person('sam').presses('It is off');
    await stage.person('sam').presses('All fine');
    await stage.person('mia').commands('today');
    expect((await seen(stage, 'Nothing is open. Next:')).lines[0]).toBe('Nothing is open. Next: soak, Tue 9 Mar 22:00.');
    await stage.close();
  });

  test('hides what is open on a list for a machine that must stay off since', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('sam').says('smells like burning behind the machine');
    await stage.person('sam').presses('It is off');
    await stage.person('sam').presses('All fine');
    await stage.person('mia').commands('today');
    const shown = await seen(stage, 'Closing, Tue');
    expect([shown.lines[0]?.split(': ').at(-1), shown.buttons]).toEqual(['3 soak', ['Done: some']]);
    await stage.close();
  });

  test('shows a technician what is open, and no button that is not theirs', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('ana').commands('today', 'direct');
    expect((await seen(stage, 'Closing, Tue', 'Ana')).buttons).toEqual([]);
    await stage.person('mia').commands('today');
    expect((await seen(stage, 'Closing, Tue')).buttons).toEqual(['Done: all', 'Done: some']);
    await stage.close();
  });
});

describe.each(settings)('before, after, and not at all ($name)', ({ open }) => {
  test('done up to two hours early: the list comes with that done, and says so', async () => {
    const stage = await open({ start: '2027-03-09T19:30:00Z' });
    await stage.until('20:40');
    await stage.person('sam').commands('today');
    expect((await seen(stage, 'The next list comes at 22:00')).lines).toEqual(['Nothing is open yet. The next list comes at 22:00.', 'Is something of it done already?']);
    await stage.person('sam').presses('Done: all', 'The next list comes');
    expect((await seen(stage, 'Done before the list')).lines).toEqual(['Thanks, Sam. Done before the list, 20:40:', 'backflush, seals and rims and wands, tray, drain']);
    await stage.until('22:00');
    expect((await seen(stage, 'Closing, groups')).lines).toEqual(['Closing, groups 1 and 2: 3 of 4 done, 20:40, Sam', 'Done: 1 backflush, 2 seals and rims, 4 wands, tray, drain', 'Still open: 3 soak']);
    await stage.close();
  });

  test('an offer to take jobs early can be turned down, and the list comes as usual', async () => {
    const stage = await open({ start: '2027-03-09T19:30:00Z' });
    await stage.until('20:40');
    await stage.person('sam').says('done');
    expect((await seen(stage, 'The next list comes at 22:00')).buttons.slice(-2)).toEqual(['Done: all', 'Not yet']);
    await stage.person('sam').presses('Not yet', 'The next list comes');
    expect((await seen(stage, 'All right. The list')).lines).toEqual(['All right. The list comes at 22:00.']);
    await stage.until('22:00');
    expect((await seen(stage, 'Closing, groups')).lines.join(' ')).toContain('1 Backflush');
    await stage.close();
  });

  test('a list that is done altogether before its time is not posted; taken back, it is', async () => {
    const stage = await open({ start: '2027-03-10T05:00:00Z' });
    await stage.until('7:10');
    await stage.person('mia').says('done');
    await stage.person('mia').presses('Done: all', 'The next list comes');
    await stage.until('7:35');
    expect(await count(stage, 'Opening, groups')).toBe(0);
    await stage.close();
    const other = await open({ start: '2027-03-10T05:00:00Z' });
    await other.until('7:10');
    await other.person('mia').commands('today');
    await other.person('mia').presses('Done: all', 'The next list comes at 07:30');
    await other.person('mia').presses('Take back', 'Done before the list');
    await other.until('7:35');
    expect(await count(other, 'Opening, groups')).toBe(1);
    await other.close();
  });

  test('the owner corrects who and when, the old line is kept; nobody else may', async () => {
    const stage = await open();
    await stage.until('22:31');
    await stage.person('sam').presses('Done: all', 'Closing');
    await stage.person('sam').presses('Out and rinsed');
    await stage.until('22:50');
    await stage.person('ola').commands('cafe');
    await stage.person('ola').presses('Change jobs');
    await stage.person('ola').presses('Correct a job');
    await stage.person('ola').picks('Tue 9 Mar 22:00: backflush');
    await stage.person('ola').fills('1', 'Mia', '22:10');
    expect((await seen(stage, 'Corrected')).lines).toEqual(['Corrected: backflush, done 22:10, Mia.', 'The old line stays on record: done 22:31, Sam.']);
    expect((await seen(stage, 'Closing, groups')).lines[0]).toBe('Closing, groups 1 and 2: done 22:31, Mia and Sam');
    await stage.close();
  });

  test('"not for us" is proposed by the bar and decided by the owner', async () => {
    const stage = await open();
    await stage.until('22:05');
    await stage.person('mia').presses("Can't", 'Closing');
    await stage.person('mia').presses('Not for us');
    await stage.person('mia').picks('4 wands, tray, drain');
    expect((await seen(stage, 'I ask the owner')).lines).toEqual(['I ask the owner about wands, tray, drain.', 'The owner decides. Until then it stays.']);
    expect((await seen(stage, 'is not for you', 'Ola')).buttons).toEqual(['Take it out', 'Change it', 'Keep it']);
    await stage.person('ola').presses('Take it out');
    expect((await seen(stage, 'Closing, groups')).lines.at(-1)).toBe('Left over: 4 wands, tray, drain');
    await stage.until('tomorrow 22:00');
    expect((await seen(stage, 'Closing, groups')).lines.join(' ')).not.toContain('Wands');
    await stage.close();
  });

  test('two people one after the other: one record, and a kind word for the second', async () => {
    const stage = await open();
    await stage.until('22:31');
    await stage.person('sam').says('done');
    await stage.person('mia').says('done');
    expect((await seen(stage, 'Already done')).lines).toEqual(['Already done: 22:31, Sam. Thanks all the same.']);
    await stage.close();
  });
});

describe.each(settings)('a note or a photo with a job ($name)', ({ name, open }) => {
  test('the owner asks for one: it is asked for once, kept as a file, and looked at later', async () => {
    const stage = await open();
    const png = join(mkdtempSync(join(tmpdir(), 'proof-')), 'clean.png');
    writeFileSync(png, Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==', 'base64'));
    await stage.person('ola').commands('cafe');
    await stage.person('ola').presses('Change jobs');
    await stage.person('ola').picks('Wands, tray, drain');
    await stage.person('ola').presses('Note or photo');
    await stage.person('ola').presses('A photo');
    expect((await seen(stage, 'What shall?')).lines).toEqual(['A photo comes with each "done". What shall?']);
    await stage.until('22:31');
    await stage.person('sam').presses('Done: all', 'Closing');
    expect((await seen(stage, 'asks for a photo', '#bar')).lines).toEqual(['wands, tray, drain: the owner asks for a photo with it.']);
    expect(await count(stage, 'asks for a photo')).toBe(1);
    await stage.person('sam').presses('Add a photo');
    await stage.person('sam').fills(png);
    expect((await seen(stage, 'Kept for the owner')).lines).toEqual(['wands, tray, drain: done 22:31, Sam. Kept for the owner.']);
    await stage.person('ola').presses('Look at them');
    expect(await seen(stage, 'Tue 9 Mar 22:31, Sam')).toMatchObject({ lines: ['Tue 9 Mar 22:31, Sam: 1 photo'], ...(name.startsWith('platform') ? { files: ['job-1.png'] } : {}) });
    await stage.close();
  });
});

describe.each(settings)('who hears when nobody answers ($name)', ({ open }) => {
  const set = async (stage: Stage): Promise<void> => {
    await stage.person('ola').commands('cafe');
    await stage.person('ola').presses('Change jobs');
    await stage.person('ola').presses('Who hears');
    await stage.person('ola').picks('After 30 minutes');
    await stage.person('ola').presses('Back', 'When nobody has answered');
    await stage.person('ola').presses('Who hears');
  };

  test('the bar is asked once more, then it ends; the left-over jobs are counted, not chased', async () => {
    const stage = await open();
    await set(stage);
    expect((await seen(stage, 'When nobody has answered')).lines).toEqual(['When nobody has answered a list:', 'The bar is asked again: after 30 minutes.', 'The owner hears: never.', 'Somebody else hears: nobody.']);
    await stage.until('22:35');
    expect(await count(stage, 'Closing, groups 1 and 2:')).toBe(2);
    await stage.until('tomorrow 7:20');
    expect([await count(stage, 'Closing, groups'), await count(stage, 'no word yet')]).toEqual([2, 0]);
    await stage.close();
  });

  test('once somebody has answered nobody else hears', async () => {
    const stage = await open();
    await set(stage);
    await stage.until('22:10');
    await stage.person('sam').presses('Done: all', 'Closing');
    await stage.until('22:50');
    expect(await count(stage, 'Closing, groups')).toBe(1);
    await stage.close();
  });
});

test('the owner hears once, by the road they chose', async () => {
  const store = await embedded.open();
  const stage = await terminalStage({ store });
  await transact(store, [], (tx) => tx.updateTable('cafe').set({ ladder: JSON.stringify({ owner: 60 }) }).execute());
  await stage.until('tomorrow 7:20');
  expect((await seen(stage, 'no word yet', 'Ola')).lines).toEqual(['Lantern Street: no word yet on the list of 22:00.', 'I say it once. What is left over is counted, not chased.']);
  expect(await count(stage, 'no word yet')).toBe(1);
  await stage.close();
});

describe.each(settings)('a person the owner names hears when nobody answers ($name)', ({ open }) => {
  const name = async (stage: Stage, who: string): Promise<void> => {
    await stage.person('ola').commands('cafe');
    await stage.person('ola').presses('Change jobs');
    await stage.person('ola').presses('Who hears');
    await stage.person('ola').picks(who);
  };

  test('asked first, in the channel, and only they may say; told once, an hour on, directly', async () => {
    const stage = await open();
    await name(stage, 'Lina');
    expect((await seen(stage, 'When nobody has answered')).lines[3]).toBe('Lina hears after 60 minutes, once Lina says yes.');
    await stage.until('1m');
    expect((await seen(stage, 'may I write to you', '#bar')).lines).toEqual(['Lina: may I write to you when nobody answers a list?', 'Ola asks. One message a list, never more.']);
    await stage.person('sam').presses('Yes, write to me');
    expect((await seen(stage, 'That one is for')).lines).toEqual(['That one is for Lina to say.']);
    await stage.person('lina').presses('Yes, write to me');
    expect((await seen(stage, 'Lina hears when', '#bar')).lines).toEqual(['Lina hears when nobody answers a list.']);
    await stage.until('23:05');
    expect((await seen(stage, 'no word yet', 'Lina')).lines[0]).toBe('Lantern Street: no word yet on the list of 22:00.');
    expect((await seen(stage, 'no word yet', 'Lina')).buttons).toEqual(['Not me any more']);
    await stage.person('lina').presses('Not me any more');
    expect((await seen(stage, 'is not told', 'Lina')).lines).toEqual(['All right, Lina is not told.']);
    await stage.until('tomorrow 23:10');
    expect(await count(stage, 'no word yet')).toBe(0);
    await stage.close();
  });

  test('who says no, says nothing or is in the café no more hears nothing', async () => {
    const stage = await open();
    await name(stage, 'Lina');
    await stage.until('1m');
    await stage.person('lina').presses('No, thanks');
    expect((await seen(stage, 'All right, Lina is not told.', '#bar')).buttons).toEqual([]);
    await name(stage, 'Mia');
    await stage.until('23:10');
    expect(await count(stage, 'no word yet')).toBe(0);
    await stage.person('mia').presses('Yes, write to me');
    await stage.person('ola').says('Mia no longer works here', 'direct');
    await stage.person('ola').picks('Mia');
    await stage.person('ola').presses('Remove', 'Mia: bar.');
    await stage.until('tomorrow 23:10');
    expect(await count(stage, 'no word yet')).toBe(0);
    await stage.close();
  });
});

describe.each(databases)('two presses in the same moment, on the $name database', ({ open }) => {
  test('one record; the second hears who was first', async () => {
    const store = await open();
    const { bot, clock } = await atLanternStreet(store);
    at(clock, '2027-03-09T21:00:05Z');
    await bot.tick(clock.now());
    const list = (await transact(store, [], (tx) => tx.selectFrom('reminder').select('id').executeTakeFirstOrThrow())).id;
    const answers = await Promise.all(['sam', 'mia'].map((who) => bot.router.take(inBar(who, { press: 'routine.done', ids: [list] }))));
    const by = await transact(store, [], (tx) => tx.selectFrom('occurrence').select('by_name').where('state', '=', 'done').execute());
    expect(new Set(by.map(({ by_name }) => by_name)).size).toBe(1);
    expect(answers.map(textOf).filter((text) => text.includes('Already done') && text.includes('Thanks all the same'))).toHaveLength(1);
    await bot.sender.stop();
    await store.close();
  });
});
