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

test.each(['no detergent, can I use bleach?', 'can we use dish soap', 'is vinegar ok?', 'shall I take dish soap instead'])('"%s" asks for a substitute, and is refused', (text) => {
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
  test.each(['gone', 'none', 'one', 'bone', 'hello', 'who is on tomorrow', '', '   ', '🎉', 'donut', 'can you take my shift'])('"%s" is no answer', (text) => {
    expect(read(text)).toEqual({ kind: 'none' });
  });
  test('a figure after "group" is a group of the machine, not a job of the list', () => {
    expect(read('done group 1')).toEqual({ kind: 'part', jobs: [], groups: [1] });
    expect(read('group 1 backflush done')).toEqual({ kind: 'part', jobs: ['backflush'], groups: [1] });
    expect(read('backflush done on groups 1 and 2')).toEqual({ kind: 'part', jobs: ['backflush'], groups: [1, 2] });
    const perGroup = [{ id: 'one', position: 1, names: ['new seal'], group: 1 }, { id: 'two', position: 2, names: ['new seal'], group: 2 }];
    expect(readReply('done group 2', lexicon, perGroup)).toEqual({ kind: 'done', jobs: ['two'] });
  });
  test.each(['is it done', 'is everything done?', 'whos done it', 'have you done it', 'did anyone do it, done?', 'what is done'])('"%s" asks how the list stands', (text) => {
    expect(read(text)).toEqual({ kind: 'asked' });
  });
  test('what is said of the rest is not said of what was named', () => {
    expect(read('backflush done rest tomorrow')).toEqual({ kind: 'but', open: ['seals', 'soak', 'wands'], still: false });
    expect(read('1 and 2 done, 3 later')).toEqual({ kind: 'but', open: ['soak'], still: false });
    expect(read('backflush not done')).toEqual({ kind: 'but', open: ['backflush'], still: false });
    expect(read('backflush done tomorrow')).toEqual({ kind: 'but', open: ['backflush'], still: false });
  });
  test.each([
    ['nearly', { kind: 'wait' }], ['not yet sorry', { kind: 'wait' }], ['give us a minute', { kind: 'wait' }], ['almost', { kind: 'wait' }],
    ['later', { kind: 'later', minutes: null, jobs: [] }], ['in half an hour', { kind: 'later', minutes: 30, jobs: [] }], ['remind me in 45 minutes please', { kind: 'later', minutes: 45, jobs: [] }],
    ['in an hour', { kind: 'later', minutes: 60, jobs: [] }], ['soak later', { kind: 'later', minutes: null, jobs: ['soak'] }], ['ask again in 300 minutes', { kind: 'later', minutes: null, jobs: [] }],
    ['tomorrow', { kind: 'over', jobs: [] }], ['skip it tonight', { kind: 'over', jobs: [] }], ['wands tomorrow', { kind: 'over', jobs: ['wands'] }],
    ['1, 2 and 4', { kind: 'numbers', jobs: ['backflush', 'seals', 'wands'] }],
    ['take back', { kind: 'back' }], ['undo that', { kind: 'back' }], ['not for us', { kind: 'not for us' }], ['we dont do number 4 here', { kind: 'not for us' }],
  ])('"%s" puts off, takes back or tells no job done', (text, reply) => {
    expect(read(text)).toEqual(reply);
  });
  test.each(['see you tomorrow at the party', 'later, alligator', 'who is on tomorrow', 'the tap drips in a minute', 'half the milk is gone', 'soon?', 'second group drips', 'group 1', 'one moment the grinder is stuck', 'take it back to the shop', 'tomorrow we open later because of the parade'])('"%s" is no answer to a list', (text) => {
    expect(read(text)).toEqual({ kind: 'none' });
  });
  test.each([['no time tonight', 'time'], ['dont have time tonight', 'time'], ['too tired tonight', 'time'], ['too busy', 'time'], ['cant machine is off already', 'off']])('"%s" can only be about a list', (text, why) => {
    expect(read(text)).toEqual({ kind: "can't", why, bare: true });
  });
  test.each(['the machine is off', 'no time for coffee', 'too hot'])('"%s" is no "cannot"', (text) => {
    expect(read(text)).toEqual({ kind: 'none' });
  });
  test.each(['rinsed', 'ok rinsed', 'all rinsed out'])('"%s" says that detergent is out', (text) => {
    expect(read(text)).toEqual({ kind: 'rinsed' });
  });
  test.each(['rinsed the milk jug', 'not rinsed', 'rinsed?', 'rinsed and done'])('"%s" does not', (text) => {
    expect(read(text).kind).not.toBe('rinsed');
  });
  test('done yesterday is asked about, for what was named', () => {
    expect(read('did it yesterday')).toEqual({ kind: 'yesterday', jobs: all });
    expect(read('we did the soak yesterday')).toEqual({ kind: 'yesterday', jobs: ['soak'] });
  });
  test('a number that is none of the list is not passed over', () => {
    expect(read('done 7')).toEqual({ kind: 'unsure' });
  });
  test.each(['the detergent is finished', 'detergent is gone', 'cleaner all gone'])('"%s": there is none left', (text) => {
    expect(read(text)).toMatchObject({ kind: "can't", why: 'supplies' });
  });
  test.each(['already done', 'all done goodnight', 'dun', 'finsihed, heading home', 'all done apart from the baskets'])('"%s" needs no question', (text) => {
    expect(read(text)).toMatchObject({ kind: 'done' });
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
