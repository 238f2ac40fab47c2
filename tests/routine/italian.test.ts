import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parseLexicon } from '../../src/routine/lexicons.ts';
import { asksSubstitute, readReply } from '../../src/routine/reply.ts';

const lexicon = parseLexicon(readFileSync('config/replies/it.yaml', 'utf8'), 'it.yaml');
const jobs = [
  { id: 'backflush', position: 1, names: ['controlavaggio', 'lavaggio'] },
  { id: 'soak', position: 2, names: ['ammollo', 'filtri'] },
];
const read = (text: string) => readReply(text, lexicon, jobs);

test.each(['fatto', 'Fatto!', 'tutto fatto', 'fato', 'finito, grazie', 'ok fatto', '👍'.replace('👍', 'fatto')])('"%s" vuol dire fatto', (text) => {
  expect(read(text)).toEqual({ kind: 'done', jobs: ['backflush', 'soak'] });
});
test.each(['non fatto', 'quasi fatto', 'non ancora fatto', 'da fare', 'fatto?', 'lo faccio domani'])('"%s" non vuol dire fatto', (text) => {
  expect(read(text).kind).not.toBe('done');
});
test('una parte, o tutto tranne', () => {
  expect(read('fatto il controlavaggio')).toEqual({ kind: 'done', jobs: ['backflush'] });
  expect(read("tutto fatto tranne l'ammollo")).toEqual({ kind: 'done', jobs: ['backflush'] });
});
test('candeggina al suo posto: si rifiuta', () => {
  expect(asksSubstitute('posso usare la candeggina?', lexicon)).toBe(true);
});
test('manca il detergente', () => {
  expect(read('senza detergente')).toMatchObject({ kind: "can't", why: 'supplies' });
  expect(read('non posso')).toEqual({ kind: "can't", why: null, bare: true });
  expect(read("fatto, ma l'ammollo non ancora")).toEqual({ kind: 'but', open: ['soak'], still: true });
});
