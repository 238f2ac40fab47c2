import { describe, expect, test } from 'vitest';
import { transact } from '../../src/store/transact.ts';
import { pauseBefore } from '../../src/delivery/roads.ts';
import { hours, minutes } from '../../src/time/instant.ts';
import { may } from '../platform/double/permissions.ts';
import { wordsOf } from '../platform/double/seen.ts';
import type { Channel } from '../platform/double/world.ts';
import { databases, embedded } from '../store/databases.ts';
import { discordStage, type DiscordStage } from '../stories/discord-stage.ts';

const place = (stage: DiscordStage) => stage.place;
const inBar = async (stage: DiscordStage): Promise<readonly string[]> => (await stage.messages()).filter((each) => each.place === '#bar').map(({ lines }) => lines[0] ?? '');
const closings = async (stage: DiscordStage): Promise<number> => (await inBar(stage)).filter((line) => line.startsWith('Closing, groups')).length;
const toOla = async (stage: DiscordStage): Promise<readonly string[]> => (await stage.messages()).filter((each) => each.place === 'Ola').map(({ lines }) => lines.join('\n'));

test('the pauses grow from a minute to an hour', () => {
  expect([0, 1, 2, 3, 6, 40].map(pauseBefore)).toEqual([minutes(1), minutes(2), minutes(4), minutes(8), hours(1), hours(1)]);
});

describe.each(databases)('a café whose chat fails, on the $name database', ({ open }) => {
  test('the right to write is lost and given back: the owner is told once, the list comes by itself, once', async () => {
    const stage = await discordStage({ store: await open() });
    place(stage).denyBot(stage.bar, may.SendMessages);
    await stage.until('22:40');
    expect([await closings(stage), await toOla(stage)]).toEqual([0, ['I may not write in the channel of Lantern Street.\nChannel settings, Permissions, add me, then write /cafe.']]);
    const tries = stage.double.sent('create_message').filter(({ status }) => status === 403).length;
    expect([tries >= 4, tries <= 7]).toEqual([true, true]);
    place(stage).allowBot(stage.bar, may.SendMessages);
    await stage.until('23:40');
    expect([await closings(stage), (await toOla(stage)).length]).toEqual([1, 1]);
    await stage.until('tomorrow 22:10');
    expect([await closings(stage), (await toOla(stage)).filter((text) => text.includes('I may not write')).length]).toEqual([2, 1]);
    await stage.close();
  });

  test('the channel is deleted: the owner is told once with the cure; the list waits for the channel picked instead', async () => {
    const stage = await discordStage({ store: await open() });
    const other = place(stage).channel('counter');
    place(stage).removeChannel(stage.bar);
    await stage.until('22:20');
    expect(await toOla(stage)).toEqual(['I cannot find the channel of Lantern Street any more.\nWrite /cafe in the channel you want me to use.']);
    await stage.who('ola').command(other, 'cafe').acknowledged();
    await stage.settle();
    await stage.person('ola').presses('Write here', 'Shall I write here');
    await stage.until('22:25');
    expect(place(stage).messages(other).map((each) => wordsOf(each).split('\n')[0])).toContain('**Closing, groups 1 and 2:**');
    await stage.close();
  });

  test('direct messages closed: what the owner has to know is told in the café, and what was for the owner comes when they open', async () => {
    const stage = await discordStage({ store: await open() });
    stage.who('ola').user.door = 'closed';
    await stage.until('22:06');
    await stage.person('mia').says('no detergent');
    expect((await inBar(stage)).filter((line) => line.startsWith('I cannot write to one of your people'))).toHaveLength(1);
    expect(await toOla(stage)).toEqual([]);
    stage.who('ola').user.door = 'open';
    await stage.until('22:30');
    expect((await toOla(stage)).filter((text) => text.startsWith('The bar of Lantern Street is out of'))).toHaveLength(1);
    await stage.close();
  });

  test('the thread is archived and locked: told once, and it goes on when it is opened', async () => {
    const stage = await discordStage({ store: await open() });
    const thread: Channel = { id: stage.double.world.newId(), type: 11, name: 'cleaning', guildId: place(stage).guild.id, parentId: stage.bar.id, overwrites: [], thread: { archived: false, locked: false, ownerId: stage.who('ola').id, autoArchive: 1440 } };
    stage.double.world.channels.set(thread.id, thread);
    await transact(stage.store, [], (tx) => tx.updateTable('cafe').set({ place: `c.${thread.id}` }).execute());
    place(stage).archive(thread, true);
    await stage.until('22:20');
    expect(await toOla(stage)).toEqual(['The thread of Lantern Street is archived and locked.\nOpen it again, or write /cafe in another channel.']);
    Object.assign(thread.thread ?? {}, { archived: false, locked: false });
    await stage.until('22:50');
    expect([place(stage).messages(thread).length, (await toOla(stage)).length]).toEqual([1, 1]);
    await stage.close();
  });

  test('told to slow down, again and again: the list comes once, nobody is troubled with it', async () => {
    const stage = await discordStage({ store: await open() });
    stage.double.plant('create_message', { kind: 'too many', retryAfter: 0.02 }, 3);
    await stage.until('22:10');
    expect([await closings(stage), await toOla(stage)]).toEqual([1, []]);
    await stage.close();
  });

  test('an hour without the platform: one list when it is back, and nobody is told of trouble', async () => {
    const stage = await discordStage({ store: await open() });
    const away = stage.double.plant('create_message', { kind: 'refuse', status: 503 }, 100_000);
    await stage.until('23:00');
    await away.met(4);
    expect(await closings(stage)).toBe(0);
    stage.double.faults.stop(away);
    await stage.until('23:10');
    expect([await closings(stage), await toOla(stage)]).toEqual([1, []]);
    await stage.close();
  });

  test('whoever took the bot out is left alone; let in again, the café goes on', async () => {
    const stage = await discordStage({ store: await open() });
    await stage.until('22:31');
    await stage.person('sam').says('done');
    await stage.person('mia').says('no detergent');
    await stage.person('ola').presses('Remind me at 10');
    place(stage).kickBot();
    await stage.settle();
    const before = stage.double.sent('create_message').length;
    await stage.until('in 3 days 12:00');
    expect(stage.double.sent('create_message').length).toBe(before);
    place(stage).invite();
    await stage.settle();
    await stage.until('22:10');
    expect((await inBar(stage)).at(-1)).toBe('Closing, groups 1 and 2:');
    await stage.close();
  });
});

test('with a channel of its own the owner is told there; closed too, then directly', async () => {
  const stage = await discordStage({ store: await embedded.open() });
  const office = place(stage).channel('office');
  await stage.person('ola').commands('cafe');
  await stage.person('ola').picks('More of the list');
  await stage.person('ola').picks("Owner's channel");
  await stage.person('ola').picks('#office');
  place(stage).denyBot(stage.bar, may.SendMessages);
  await stage.until('22:20');
  expect([place(stage).messages(office).map((each) => wordsOf(each).split('\n')[0]), await toOla(stage)]).toEqual([['I may not write in the channel of Lantern Street.'], []]);
  place(stage).allowBot(stage.bar, may.SendMessages);
  await stage.until('23:30');
  place(stage).denyBot(stage.bar, may.SendMessages);
  place(stage).denyBot(office, may.SendMessages);
  await stage.until('tomorrow 7:40');
  expect((await toOla(stage)).filter((text) => text.startsWith('I may not write in the channel'))).toHaveLength(1);
  await stage.close();
});

