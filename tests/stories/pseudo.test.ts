import { expect, test } from 'vitest';
import { embedded } from '../store/databases.ts';
import { transcript } from './stage.ts';
import { pseudoWords } from './pseudo.ts';
import { terminalStage } from './terminal-stage.ts';

/** What is not a text of ours: names, times, numbers, and what people typed themselves. */
const VALUES = /Lantern Street(?: 12)?|Valencia|black switch under the till|side door, ring twice, park in the yard|left group drips round the handle|burning smell behind the machine|Ola|Mia|Sam|Lina|Pablo|Ana|ola|EUR|HX|Europe\/Madrid|(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)[a-z]*|(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*|and|mm/g;

test('in a language a third longer everything is still shown, and no word comes from the code', async () => {
  const stage = await terminalStage({ store: await embedded.open(), words: pseudoWords(), deaf: true });
  await stage.until('22:05');
  await stage.person('sam').says('done');
  await stage.person('sam').says('left group drips round the handle');
  await stage.person('ola').commands('cafe');
  await stage.person('ola').commands('today');
  await stage.person('ola').commands('help');
  await stage.person('ola').commands('mydata');
  await stage.person('sam').says('burning smell behind the machine');
  await stage.person('sam').says('hello there');
  const all = await stage.messages();
  expect(all.length).toBeGreaterThan(8);
  const plain = all.flatMap(({ lines, buttons }) => [...lines, ...buttons]).map((text) => text.replace(VALUES, '')).filter((text) => /[A-Za-z]{3,}/.test(text.replace(/⟦[^⟦⟧]*⟧/g, '').replace(/⟦|⟧/g, '')) && !/[⟦⟧~]/.test(text));
  expect(plain, transcript(all)).toEqual([]);
  await stage.close();
});
