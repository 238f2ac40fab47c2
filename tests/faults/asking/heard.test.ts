import { describe, expect, test } from 'vitest';
import { barOf } from '../../../src/faults/bar.ts';
import { modelFor } from '../../../src/faults/catalogue-model.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { createFinder } from '../../../src/faults/find.ts';
import { heardReadings } from '../../../src/faults/heard.ts';
import { readLanguages } from '../../../src/faults/languages.ts';

const catalogue = readCatalogue('config/faults');
const languages = readLanguages('config/faults/phrases');
const model = modelFor(catalogue, barOf({ kind: 'HX', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' }));
const ids = catalogue.symptoms.map(({ id }) => id);
const finders = { en: createFinder(languages.get('en')!, ids), it: createFinder(languages.get('it')!, ids) };
const heard = (text: string, symptom: string, language: 'en' | 'it' = 'en') => heardReadings(catalogue, model, symptom, finders[language].told(text));

describe('what is told beside a complaint', () => {
  test('answers what would be asked, and what was tried did not help', () => {
    expect(heard('coffee is bitter since the new beans', 'bad-taste')).toEqual([
      { kind: 'answer', question: 'recent-change', answer: 'beans' },
      { kind: 'answer', question: 'taste', answer: 'sour-bitter' },
    ]);
    expect(heard('il caffè è amaro', 'bad-taste', 'it')).toEqual([{ kind: 'answer', question: 'taste', answer: 'sour-bitter' }]);
    expect(heard('did the chemical backflush twice, group 2 still spits', 'handle-spits')).toEqual([{ kind: 'tried', job: 'backflush-detergent', result: 'same' }]);
  });

  test('only where this complaint asks for it', () => {
    expect(model.symptoms.find(({ id }) => id === 'weak-steam')!.questions).not.toContain('taste');
    expect(heard('coffee is bitter since the new beans', 'weak-steam')).toEqual([{ kind: 'answer', question: 'recent-change', answer: 'beans' }]);
  });

  test('no danger question is answered by it, and no danger is read out of it', () => {
    const said = { answers: catalogue.questions.flatMap(({ id, answers }) => answers.map((answer) => ({ question: id, answer: answer.id }))), tried: [] };
    for (const { id } of model.symptoms) {
      const taken = heardReadings(catalogue, model, id, said).flatMap((reading) => (reading.kind === 'answer' ? [reading] : []));
      for (const { question, answer } of taken) {
        const known = catalogue.questions.find((each) => each.id === question)!;
        expect([question, model.questions.find((each) => each.id === question)!.danger]).toEqual([question, false]);
        expect([question, answer, known.answers.find((each) => each.id === answer)!.danger]).toEqual([question, answer, undefined]);
      }
    }
    expect(heardReadings(catalogue, model, 'bad-taste', said).length).toBeGreaterThan(0);
  });
});
