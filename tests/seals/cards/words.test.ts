import { describe, expect, test } from 'vitest';
import { isTypedAnswer, readCardAsk, type CardNames } from '../../../src/seals/card-words.ts';
import { allCards, words } from './config.ts';

const say = words.in('en');
const split = (key: string): readonly string[] => say(key).split(',').map((each) => each.trim());
const phrases = { how: split('cards.words.how'), what: split('cards.words.what'), filler: split('cards.words.filler') };
const cards: readonly CardNames[] = allCards.map(({ job }) => ({ job, names: split(`cards.${job}.names`) }));
const read = (text: string) => readCardAsk(text, phrases, cards);

describe('asking for a card in words', () => {
  test.each([
    ['how do I backflush', 'how', ['backflush-detergent']],
    ['How do you backflush??', 'how', ['backflush-detergent']],
    ['what is backflush', 'what', ['backflush-detergent']],
    ["what's a backflush?", 'what', ['backflush-detergent']],
    ['how do i backflush with water', 'how', ['backflush-water']],
    ['how do I change the seal', 'how', ['seal-screw', 'seal-press', 'seal-block']],
    ['how to change the seal on group 2', 'how', ['seal-screw', 'seal-press', 'seal-block']],
    ['how do I clean the steam tip', 'how', ['clean-tip']],
    ['show me how to soak the baskets please', 'how', ['soak-baskets']],
    ['how do we change the filter?', 'how', ['change-cartridge']],
    ['how do I dial in', 'how', ['dial-in']],
    ['how do I clean the grinder', 'how', ['clean-grinder']],
    ['how to make it safe', 'how', ['make-safe']],
  ] as const)('%s', (text, kind, jobs) => {
    expect(read(text)).toEqual({ kind, jobs });
  });

  test.each([
    'the left group drips, do we need someone?', 'what is wrong with the steam wand, it drips all the time', 'how do I find the owner', 'what is this smell', 'done', 'how do I open the door',
    'how do I get the smoke out of here, the machine burns', 'what is that water under the machine', '', 'card',
  ])('not meant for a card: "%s"', (text) => {
    expect(read(text)).toBeUndefined();
  });

  test('every card is found by the first of its own names, alone or with the cards that share it', () => {
    for (const { job, names } of cards) expect(read(`how do I ${names[0]}`)?.jobs, `${job}: ${names[0]}`).toContain(job);
  });
});

test.each(['next', 'Ready!', 'off and cool', 'Off, cool, no pressure.', 'ok'])('"%s" is typed where a button has to be pressed', (text) => {
  expect(isTypedAnswer(text, split('cards.words.typed'))).toBe(true);
});

test.each(['next week?', 'who is off today', 'the machine is off and cool air comes out'])('"%s" is not', (text) => {
  expect(isTypedAnswer(text, split('cards.words.typed'))).toBe(false);
});
