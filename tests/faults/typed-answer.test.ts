import { describe, expect, test } from 'vitest';
import { asksNeed, matchAnswer, usualIn } from '../../src/faults/typed-answer.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const words = createWords(readTexts('config/words'));
const drips = [{ id: 'drip', label: 'Only drips' }, { id: 'spray', label: 'Sprays' }, { id: 'electric', label: 'Near electrics' }];
const typed = (text: string, locale = 'en', answers = drips) => matchAnswer(text, answers, usualIn(words.in(locale)));

describe('an answer typed instead of pressed', () => {
  test.each(["I don't know", 'dunno', 'No idea.', 'can’t tell'])('%s: nobody knows', (text) => expect(typed(text)).toEqual({ kind: 'unsure' }));
  test.each(['non lo so', 'Boh', 'Non so'])('%s, in Italian', (text) => expect(typed(text, 'it')).toEqual({ kind: 'unsure' }));
  test.each(['never mind', 'Leave it', 'stop'])('%s: left', (text) => expect(typed(text)).toEqual({ kind: 'leave' }));
  test('back', () => expect(typed('go back')).toEqual({ kind: 'back' }));
  test('by its label, or by words only one label has', () => {
    expect(typed('sprays')).toEqual({ kind: 'answer', id: 'spray' });
    expect(typed('electrics')).toEqual({ kind: 'answer', id: 'electric' });
  });
  test('a label that reads like leaving is the answer', () => expect(typed('later', 'en', [{ id: 'later', label: 'Later' }, { id: 'now', label: 'Now' }])).toEqual({ kind: 'answer', id: 'later' }));
  test.each(['yes', 'it hisses', ''])('"%s" names none', (text) => expect(typed(text)).toEqual({ kind: 'none' }));
});

test('"do we need someone?" alone is told apart from a complaint', () => {
  expect(asksNeed('Do we need someone?', words.in('en'))).toBe(true);
  expect(asksNeed('Serve un tecnico?', words.in('it'))).toBe(true);
  expect(asksNeed('the left group drips, do we need someone?', words.in('en'))).toBe(false);
});
