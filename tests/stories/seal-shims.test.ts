import { describe, expect, test } from 'vitest';
import { read } from '../../src/store/transact.ts';
import { count, seen, type Stage } from './stage.ts';
import { sealFitted } from './seal-fitted.ts';
import { storedSettings } from './stages.ts';

const shelfLine = async (stage: Stage): Promise<string> => {
  await stage.person('ola').says('stock?');
  return (await stage.messages()).findLast(({ place, lines }) => place === '#bar' && lines[0]?.startsWith('On the shelf'))?.lines.join(' ') ?? '';
};

/** Sam, shown it the evening before, takes the card for another size to its last check. */
const otherSize = async (stage: Stage): Promise<void> => {
  await stage.until('22:05');
  await stage.person('sam').says('done');
  const ola = stage.person('ola');
  await ola.commands('card');
  for (let page = 0; page < 2; page++) await ola.presses('More of the list');
  await ola.picks('Fit the right seal size');
  await ola.presses('Who was shown it');
  await ola.picks('Sam');
  await stage.until('tomorrow 06:20');
  const sam = stage.person('sam');
  await sam.says('how do I fit the right seal size');
  await sam.presses('Start it');
  await sam.presses('Group 2');
  await sam.presses('Read on');
  await sam.presses('Off cool no pressure');
  for (let step = 0; step < 8; step++) await sam.presses('Next');
  await sam.presses('Ready');
  await stage.until('07:10');
  await sam.presses('Next', 'time is up');
  await sam.presses('Next');
  await sam.presses('Next');
};

describe.each(storedSettings)('shims ($name)', ({ open }) => {
  test('a card puts a shim in: seal and shim go from the shelf; corrected, the shim lies there again', async () => {
    const { stage } = await open();
    await stage.person('ola').says('stock: 2 seals 8, 2 shims');
    expect((await seen(stage, 'How thick', '#bar')).lines).toEqual(['On the shelf of Lantern Street: 2 seals of 8 mm.', 'How thick are the shims? Like this: stock: 2 shims 0.5']);
    await stage.person('ola').says('stock: 2 shims 0.5');
    expect(await shelfLine(stage)).toBe('On the shelf of Lantern Street: 2 seals of 8 mm and 2 shims of 0.5 mm.');
    await otherSize(stage);
    const sam = stage.person('sam');
    await sam.presses('Dry', '14 of 14');
    expect((await seen(stage, 'Group 2: which seal went in?', '#bar')).buttons).toEqual(['Same, 8\u00a0mm', 'Another size']);
    await sam.presses('Another size');
    await sam.fills('8', '0.5', '', '', '');
    expect(await shelfLine(stage)).toBe('On the shelf of Lantern Street: 8 mm seal and 0.5 mm shim.');
    await sam.says('what is fitted?');
    await sam.presses('Group 2', 'Fitted at Lantern Street');
    await sam.presses('Correct it');
    await sam.fills('8', '0', 'today', '', '');
    expect(await shelfLine(stage)).toBe('On the shelf of Lantern Street: 8 mm seal and 2 shims of 0.5 mm.');
    await stage.close();
  });

  test('the order names the shim beside its seal, and the shim alone where the seal lies ready', async () => {
    const { store, stage } = await open();
    await sealFitted(store, 1, 200, 0.5);
    await sealFitted(store, 2, 210, 0.5);
    await stage.person('ola').says('stock: 1 seal 8, 0 shims 0.5', 'direct');
    await stage.until('tomorrow 09:00');
    expect((await seen(stage, 'time to order', 'Ola')).lines.slice(0, 3)).toEqual(['Lantern Street: time to order a seal and 2 shims.', 'One of 0.5\u00a0mm, for group 1. The seal is there.', 'One of 8\u00a0mm with a 0.5\u00a0mm shim, for group 2.']);
    await stage.person('ola').presses('Ordered');
    const ordered = await read(store, (tx) => tx.selectFrom('stock_move').select('part').where('kind', '=', 'ordered').orderBy('part').execute());
    expect(ordered.map(({ part }) => part)).toEqual(['seal-8', 'shim-0.5', 'shim-0.5']);
    await stage.until('in 15 days 09:00');
    expect(await count(stage, 'time to order')).toBe(0);
    await stage.close();
  });

  test('only a shim is missing, and is all that is ordered', async () => {
    const { store, stage } = await open();
    await sealFitted(store, 2, 210, 0.5);
    await stage.person('ola').says('stock: 1 seal 8, 0 shims 0.5', 'direct');
    await stage.until('tomorrow 09:00');
    expect((await seen(stage, 'time to order', 'Ola')).lines[0]).toBe('Lantern Street: time to order a shim.');
    await stage.close();
  });
});
