import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseLexicon } from '../../src/routine/lexicons.ts';
import { asksSubstitute, readReply } from '../../src/routine/reply.ts';

const lexicon = parseLexicon(readFileSync('config/replies/en.yaml', 'utf8'), 'en.yaml');
const jobs = [
  { id: 'backflush', position: 1, names: ['backflush', 'backflushing'] },
  { id: 'seals', position: 2, names: ['seals', 'brush', 'rims'] },
  { id: 'soak', position: 3, names: ['soak', 'baskets'] },
  { id: 'wands', position: 4, names: ['wands', 'tray', 'drain'] },
];
const all = ['backflush', 'seals', 'soak', 'wands'];
const read = (text: string) => readReply(text, lexicon, jobs, ['Mia', 'Sam']);

test.each(['no detergent, can I use bleach?', 'is vinegar ok?', 'shall I take dish soap instead'])('"%s" asks for a substitute, and is refused', (text) => {
  expect(asksSubstitute(text, lexicon)).toBe(true);
});
test.each(['done', 'the bleach is on the shelf', 'can I use detergent?'])('"%s" does not', (text) => {
  expect(asksSubstitute(text, lexicon)).toBe(false);
});

describe('a typed answer to a list', () => {
  test.each(['done', 'Done', ' DONE ', 'done.', 'done!!', 'doen', 'donne', 'dnoe', 'doone', 'all done', 'everything done', 'finished', 'finshed', '✅', '👍🏽', '✔️ done', 'ok done, thanks', 'hi its all done now', "we've finished", 'dooone'])('"%s" is done, all of it', (text) => {
    expect(read(text)).toEqual({ kind: 'done', jobs: all });
  });
  test.each(['not done', "isn't done", 'nearly', 'nearly done', 'almost done', 'done soon', 'half done', 'will be done later', "it'll be done", 'done tomorrow', 'not yet done', 'done yet?', 'cant get it done', 'never done', 'needs to be done', 'gonna get it done'])('"%s" is never done', (text) => {
    expect(read(text).kind).not.toBe('done');
    expect(read(text).kind).not.toBe('unsure');
  });
  test.each(['done?', 'is it done?'])('"%s" asks', (text) => {
    expect(read(text).kind).not.toBe('done');
  });
  test.each(['gone', 'none', 'one', 'bone', 'hello', 'who is on tomorrow', '', '   ', '🎉', '1', '2 and 3', 'donut', 'can you take my shift'])('"%s" is no answer', (text) => {
    expect(read(text)).toEqual({ kind: 'none' });
  });
  test('a part of the list by number or by name, misspelled', () => {
    expect(read('done 1 and 4')).toEqual({ kind: 'done', jobs: ['backflush', 'wands'] });
    expect(read('backflsh done')).toEqual({ kind: 'done', jobs: ['backflush'] });
    expect(read('did the wands and the baskets')).toEqual({ kind: 'done', jobs: ['wands', 'soak'] });
  });
  test('all but one', () => {
    expect(read('all done except 3')).toEqual({ kind: 'done', jobs: ['backflush', 'seals', 'wands'] });
    expect(read('all except the soak')).toEqual({ kind: 'done', jobs: ['backflush', 'seals', 'wands'] });
    expect(read('everything done but baskets')).toEqual({ kind: 'done', jobs: ['backflush', 'seals', 'wands'] });
  });
  test('a name beside it is who did it', () => {
    expect(read('done Mia')).toEqual({ kind: 'done', jobs: all, by: 'Mia' });
  });
  test('a done among words we do not know is asked about', () => {
    expect(read('done the dishes with the hose')).toEqual({ kind: 'unsure' });
  });
  test.each([['cant no detergent', 'supplies'], ["can't, no detergent", 'supplies'], ['no detergent', 'supplies'], ['we are out of cleaner', 'supplies'], ['no detergnt left', 'supplies'], ["can't, no time", 'time'], ['cannot, machine broken', 'broken'], ["can't", null]])('"%s" says why it cannot be done', (text, why) => {
    expect(read(text)).toMatchObject({ kind: "can't", why });
  });
  test.each(["can't", 'cant', 'cannot', 'sorry cant', "I can't", 'cant do it tonight', "can't, no time"])('"%s" says nothing but that, so it can only be about a list', (text) => {
    expect(read(text)).toMatchObject({ kind: "can't", bare: true });
  });
  test.each(['cant turn handle', 'cannot lock in', 'cant close valve', 'cant, machine broken'])('"%s" may be about the machine', (text) => {
    expect(read(text)).not.toMatchObject({ bare: true });
  });
  test('done but for what is named: the rest is asked, never taken', () => {
    expect(read('done, but the soak is still going')).toEqual({ kind: 'but', open: ['soak'], still: true });
    expect(read('done, not the wands')).toEqual({ kind: 'but', open: ['wands'], still: false });
    expect(read('done 1 and 2, not 3')).toEqual({ kind: 'but', open: ['soak'], still: false });
    expect(read('soak still going, rest done')).toMatchObject({ kind: 'but', open: ['soak'] });
  });
  test.each(["I can't make it on saturday for my shift", 'no milk in the fridge', 'out of cups', 'can you order detergent?'])('"%s" is not about the list', (text) => {
    expect(read(text)).toEqual({ kind: 'none' });
  });
});
