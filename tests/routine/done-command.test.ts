import { describe, expect, test } from 'vitest';
import { databases } from '../store/databases.ts';
import { discordStage } from '../stories/discord-stage.ts';
import { seen } from '../stories/stage.ts';
import { wordsOf } from '../platform/double/seen.ts';

describe.each(databases)('marking by a command, on the $name database', ({ open }) => {
  const list = async (stage: Awaited<ReturnType<typeof discordStage>>) => {
    const found = stage.double.world.messages.get(stage.bar.id)?.get((await seen(stage, 'Closing, groups')).id);
    if (!found) throw new Error('no list');
    return found;
  };

  test('a long press on the list marks all of it; on another message it marks nothing', async () => {
    const stage = await discordStage({ store: await open() });
    await stage.until('22:00');
    const foreign = stage.who('ola').say(stage.bar, 'good night').message;
    expect(wordsOf(await stage.who('mia').messageCommand('Mark done', foreign).privately())).toBe('That is not one of my lists. Hold a list of mine instead.');
    expect(wordsOf(await stage.who('mia').messageCommand('Mark done', await list(stage)).privately())).toBe('Marked done: backflush, seals and rims, soak and wands, tray, drain. Thanks.');
    await stage.settle();
    expect((await seen(stage, 'Closing, groups')).lines[0]).toContain('Mia');
    expect(wordsOf(await stage.who('ana').messageCommand('Mark done', await list(stage)).privately())).toContain('for the bar of this café');
    await stage.close();
  });

  test('one job picked from those offered, or named by number or name; an unknown one shows what is open', async () => {
    const stage = await discordStage({ store: await open() });
    await stage.until('22:00');
    const sam = stage.who('sam');
    const [, seals] = await sam.autocomplete(stage.bar, 'done', { job: '' }, 'job').choices();
    expect(wordsOf(await sam.command(stage.bar, 'done', { job: String(seals?.value) }).privately())).toBe('Marked done: seals and rims. Thanks.');
    expect(wordsOf(await sam.command(stage.bar, 'done', { job: '1' }).privately())).toBe('Marked done: backflush. Thanks.');
    expect(wordsOf(await sam.command(stage.bar, 'done', { job: '1' }).privately())).toContain('Already done');
    expect(wordsOf(await sam.command(stage.bar, 'done', { job: 'the moon' }).privately())).toContain('3 soak');
    await stage.settle();
    expect((await seen(stage, 'Closing, groups')).lines[0]).toBe('Closing, groups 1 and 2: 2 of 4 done, 22:00, Sam');
    await stage.close();
  });

  test('a reply whose words were withheld is asked about once, with a button', async () => {
    const stage = await discordStage({ store: await open() });
    await stage.until('22:00');
    stage.who('sam').say(stage.bar, 'done', { replyTo: await list(stage), ping: false });
    await stage.settle();
    expect((await seen(stage, 'Shall I mark everything')).buttons).toEqual(['Done: all', 'Not yet']);
    await stage.person('sam').presses('Done: all', 'Shall I mark everything');
    expect((await seen(stage, 'Closing, groups')).lines[0]).toContain('Sam');
    await stage.close();
  });
});
