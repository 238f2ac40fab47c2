import { describe, expect, test } from 'vitest';
import { problemsOf } from '../../../src/chat/limits.ts';
import { plain } from '../../../src/chat/message.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { showMessage } from '../../../src/faults/ask-show.ts';
import { turnedSay } from '../../../src/faults/ask-turned.ts';
import { questionPicture } from '../../../src/seals/question-pictures.ts';
import { createWords, readTexts } from '../../../src/words/catalogue.ts';

const catalogue = readCatalogue('config/faults');
const words = createWords(readTexts('config/words'));
const shown = catalogue.questions.filter(({ show }) => show);

describe.each(['en', 'it'])('how to look, in %s', (language) => {
  const say = words.in(language);

  test('every question that can be shown has two to four lines that fit a phone', () => {
    expect(shown.length).toBeGreaterThanOrEqual(45);
    for (const { id } of shown) {
      const { lines } = showMessage(say, id, undefined);
      expect(lines.length, id).toBeGreaterThanOrEqual(2);
      expect(lines.length, id).toBeLessThanOrEqual(4);
      for (const { text } of lines) expect(plain(text).length, `${id}: ${plain(text)}`).toBeLessThanOrEqual(64);
    }
  });

  test('a picture stands only with a question that is shown, and is said in words too', () => {
    const pictured = catalogue.questions.filter(({ id }) => questionPicture(id, say));
    expect(pictured.map(({ id }) => id)).toEqual(['handle-position', 'ring-look', 'screen-loose']);
    for (const { id, show } of pictured) {
      expect(show, id).toBe(true);
      const message = showMessage(say, id, questionPicture(id, say));
      expect(message.pictures?.[0]?.alt.length, id).toBeGreaterThan(40);
      expect(problemsOf(message)).toEqual([]);
    }
  });

  test('hands at hot metal are warned of it where somebody asks to be shown', () => {
    const hot = shown.filter(({ hands, machine }) => hands && machine === 'hot').map(({ id }) => id);
    expect(hot.length).toBeGreaterThan(3);
    const word = language === 'en' ? /\bhot\b|aside|\baway\b|cloth|pump off/i : /scotta|lato|lontan|panno|pompa ferma/i;
    expect(hot.filter((id) => !word.test(say(`faults.show.${id}`)))).toEqual([]);
  });

  test('at a group whose handle is pushed to the left, what names a side or an hour says the other one', () => {
    const turned = turnedSay(say);
    for (const answer of ['far-left', 'right', 'far-right']) expect(turned(`faults.answer.handle-position.${answer}`)).not.toBe(say(`faults.answer.handle-position.${answer}`));
    expect(turned('faults.answer.handle-position.straight')).toBe(say('faults.answer.handle-position.straight'));
    for (const id of ['handle-position', 'handle-snug', 'lock-empty']) {
      expect(turned(`faults.show.${id}`)).not.toBe(say(`faults.show.${id}`));
      expect(problemsOf(showMessage(turned, id, undefined))).toEqual([]);
    }
  });
});
