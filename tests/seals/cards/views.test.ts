import { describe, expect, test } from 'vitest';
import { problemsOf } from '../../../src/chat/limits.ts';
import { isChoice, plain, type Message } from '../../../src/chat/message.ts';
import { assuranceOf, blockPages, type CardView, type Place, type Show } from '../../../src/seals/card-lines.ts';
import { readingMessage } from '../../../src/seals/card-reading-view.ts';
import { cardMessage } from '../../../src/seals/card-views.ts';
import type { Card, CardPart } from '../../../src/seals/cards-config.ts';
import { begin, screensOf, type Progress } from '../../../src/seals/job-card.ts';
import { instant } from '../../../src/time/instant.ts';
import { voiceProblems } from '../../stories/voice.ts';
import { allCards, book, textOf, words } from './config.ts';

const NOW = instant(Date.parse('2027-03-11T05:30:00Z'));
const show: Show = { say: words.in('en'), reader: { locale: 'en', zone: 'Europe/Madrid' } };
const plainPlace: Place = { switchOff: 'black switch under the till marked COFFEE', waterTap: null, emergency: '112', gas: 'no', lever: 'no', cool: null, heat: null, technician: { name: 'Ana', telephone: '555 0134' } };
/** A machine with everything that adds a line, or of which nothing is known. */
const places: readonly Place[] = [plainPlace, { ...plainPlace, gas: 'yes', lever: 'yes', cool: 210 }, { switchOff: null, waterTap: null, emergency: null, gas: 'unknown', lever: 'unknown', cool: null, heat: null, technician: null }];

const viewOf = (card: Card, progress: Progress, place: Place): CardView => ({ run: '0lq0000000abc', card, group: card.for === 'group' ? 4 : null, progress, doer: 'Sam', place, stuck: false, inCase: false, until: instant(NOW + 1_800_000) });
const problems = (message: Message): readonly string[] => [...problemsOf(message), ...voiceProblems(message), ...(message.title !== undefined && plain(message.title).length > 64 ? [`title: ${plain(message.title)}`] : [])];
const labels = (message: Message): readonly string[] => (message.rows ?? []).flatMap((row) => (isChoice(row) ? [] : row.map(({ label }) => label)));

describe.each(allCards.map((card) => [card.job, card] as const))('%s', (_, card) => {
  test('can be shown everywhere, within four lines, on every machine and in every state', () => {
    const base = begin(card, NOW);
    for (const place of places) {
      for (const at of screensOf(card).keys())
        for (const state of ['on', 'paused', 'wrong'] as const)
          for (const page of [0, 1, 2]) {
            const message = cardMessage(show, viewOf(card, { ...base, at, state, apart: true, residue: true }, place), page);
            expect(problems(message), JSON.stringify(message.lines)).toEqual([]);
          }
      for (const answer of card.check.answers)
        for (const result of ['cured', 'better', 'same', 'book', 'danger', 'left'] as const)
          expect(problems(cardMessage(show, viewOf(card, { ...base, state: 'ended', result, answer: result === 'left' ? null : answer.id }, place)))).toEqual([]);
      for (let page = 0; page < 30; page++) expect(problems(readingMessage(show, card, place, '0lq0000000abc', page))).toEqual([]);
    }
  });

  test('local rules and a technician are named in every block of cautions', () => {
    for (const part of card.parts.filter(({ block }) => block !== 'none')) expect(blockPages(show, part, plainPlace).flat().at(-1)).toBe('Local rules and a licensed technician come first.');
  });

  test('nobody is asked to say "cool, no pressure" of a machine that is not, nor to switch off what has to stay on', () => {
    for (const [p, part] of card.parts.entries()) {
      expect(assuranceOf(part) === 'off-cool').toBe(part.block === 'cold' && part.lines.includes('cool'));
      if (part.block !== 'hot') continue;
      const numbers = screensOf(card).flatMap((screen) => (screen.kind === 'step' && screen.part === p ? [screen.number] : []));
      const text = numbers.map((n) => textOf(`cards.${card.job}.${n}`) ?? '').join(' ');
      expect(text).not.toMatch(/switch (it |the machine )?off|power off|unplug|off at the wall/i);
    }
  });
});

test('the first line under a card says which, where and how far', () => {
  const message = cardMessage(show, viewOf(book.cards.get('seal-screw') as Card, begin(book.cards.get('seal-screw') as Card, NOW), plainPlace));
  expect(message.title).toBe('Change the seal (screw), group 4: 1 of 15');
});

describe('the cold block', () => {
  const part = (book.cards.get('seal-screw') as Card).parts[0] as CardPart;
  const all = (place: Place): string => blockPages(show, part, place).flat().join('\n');

  test('gives no cooling time that nobody gave', () => {
    expect(all(plainPlace)).toContain('Cool: overnight, or until a technician tells you how long.');
    expect(all(plainPlace)).not.toMatch(/\d+ min/);
    expect(all({ ...plainPlace, cool: 210 })).toContain('Let it cool, about 210 min. Gauge at 0.');
  });

  test('closes the gas where there is gas, asks where nobody knows, and says nothing of it where there is none', () => {
    expect(all({ ...plainPlace, gas: 'yes' })).toContain('Close the gas tap too.');
    expect(all({ ...plainPlace, gas: 'unknown' })).toContain('Burns gas? Close its tap too.');
    expect(all(plainPlace)).not.toContain('gas');
  });

  test('warns of a lever, and of one that may be there', () => {
    expect(all({ ...plainPlace, lever: 'yes' })).toContain('Lever: never unlock under load.');
    expect(all({ ...plainPlace, lever: 'unknown' })).toContain('Lever: never unlock under load.');
    expect(all(plainPlace)).not.toContain('Lever');
  });

  test('is answered only at its end', () => {
    const card = book.cards.get('seal-screw') as Card;
    const view = viewOf(card, begin(card, NOW), plainPlace);
    expect(labels(cardMessage(show, view, 0))).toEqual(['Read on', "Something's wrong"]);
    expect(labels(cardMessage(show, view, 1))).toEqual(['Off cool no pressure', 'Not yet', 'Back', "Something's wrong"]);
  });
});
