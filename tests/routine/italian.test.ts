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
test.each([
  ['quasi', { kind: 'wait' }], ['un attimo', { kind: 'wait' }], ['non ancora', { kind: 'wait' }], ["tra un'ora", { kind: 'later', minutes: 60, jobs: [] }],
  ['dopo', { kind: 'later', minutes: null, jobs: [] }], ["tra mezz'ora", { kind: 'later', minutes: 30, jobs: [] }], ['tra 20 minuti', { kind: 'later', minutes: 20, jobs: [] }], ['ricordamelo tra 45 minuti', { kind: 'later', minutes: 45, jobs: [] }],
  ['domani', { kind: 'over', jobs: [] }], ["l'ammollo domani", { kind: 'over', jobs: ['soak'] }], ['annulla', { kind: 'back' }], ['mi sono sbagliato', { kind: 'back' }],
  ['non fa per noi', { kind: 'not for us' }], ['1 e 2', { kind: 'numbers', jobs: ['backflush', 'soak'] }],
])('"%s" rimanda, annulla o non segna niente', (text, reply) => {
  expect(read(text)).toEqual(reply);
});
test('un gruppo è una parte; il resto domani resta aperto; chi chiede non segna', () => {
  expect(read('fatto gruppo 1')).toEqual({ kind: 'part', jobs: [], groups: [1] });
  expect(read('fatto il lavaggio, il resto domani')).toEqual({ kind: 'but', open: ['soak'], still: false });
  expect(read('hai fatto')).toEqual({ kind: 'asked' });
  expect(read('chi ha fatto')).toEqual({ kind: 'asked' });
  expect(read('è tutto fatto')).toEqual({ kind: 'asked' });
});
test.each([['non ho tempo stasera', 'time'], ['troppo stanca', 'time'], ['non posso, la macchina è già spenta', 'off']])('"%s" dice perché no', (text, why) => {
  expect(read(text)).toMatchObject({ kind: "can't", why, bare: true });
});
test('il detersivo finito manca; "adesso" e "appena" non cambiano niente', () => {
  expect(read('il detersivo è finito')).toMatchObject({ kind: "can't", why: 'supplies' });
  expect(read('ho finito adesso')).toEqual({ kind: 'done', jobs: ['backflush', 'soak'] });
  expect(read('finto tutto')).toMatchObject({ kind: 'done' });
  expect(read("l'ho fatto ieri")).toEqual({ kind: 'yesterday', jobs: ['backflush', 'soak'] });
});
test('si può usare il bicarbonato, senza punto di domanda: si rifiuta', () => {
  expect(asksSubstitute('posso usare il bicarbonato', lexicon)).toBe(true);
});
