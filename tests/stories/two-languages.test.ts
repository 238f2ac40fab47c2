import { describe, expect, test } from 'vitest';
import { count, seen, type Stage } from './stage.ts';
import { settings } from './stages.ts';

/** The owner chooses the second language in the settings, in words. */
const chooseTwo = async (stage: Stage): Promise<void> => {
  await stage.person('ola').says('change second language');
  await stage.person('ola').presses('Italian');
};

describe.each(settings)('a café in two languages ($name)', ({ open }) => {
  test('the closing list stands in both; each is thanked in the language he wrote in', async () => {
    const stage = await open();
    await chooseTwo(stage);
    await stage.until('22:00');
    expect(await seen(stage, 'Closing')).toMatchObject({
      lines: ['Closing, groups 1 and 2 · Chiusura, gruppi 1 e 2:', '1 backflush · controlavaggio', '2 seals and rims · guarnizioni e bordi   3 soak · ammollo', '4 wands, tray, drain · lance, vaschetta'],
      buttons: ['Done · Fatto', 'Some · Parte', "Can't · Non posso", 'Later · Più tardi'],
    });
    await stage.person('sam').says('done 1');
    expect((await seen(stage, 'Thanks, Sam')).lines[0]).toBe('Thanks, Sam. 1 done, 22:00.');
    await stage.person('lina').says('fatto 2');
    expect((await seen(stage, 'Grazie, Lina')).lines[0]).toBe('Grazie, Lina. 2 fatti, 22:00.');
    expect((await seen(stage, 'Chiusura')).lines.slice(0, 2)).toEqual(['Closing, groups 1 and 2: 2 of 4 done, 22:00, Sam and Lina', 'Chiusura, gruppi 1 e 2: 2 su 4 fatti, 22:00, Sam e Lina']);
    await stage.close();
  });

  test('danger told in either language brings the steps in both, and both show what is done', async () => {
    const stage = await open();
    await chooseTwo(stage);
    await stage.person('lina').says('esce fumo dalla macchina');
    expect((await seen(stage, 'everyone out')).lines[0]).toMatch(/^Flames or growing smoke/);
    expect(await count(stage, 'tutti fuori')).toBe(1);
    await stage.person('lina').presses('È spenta');
    await stage.until('1m');
    expect(await count(stage, 'everyone out')).toBe(0);
    expect(await count(stage, 'tutti fuori')).toBe(0);
    await stage.close();
  });
});
