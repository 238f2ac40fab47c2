import { describe, expect, test } from 'vitest';
import { withKnown, type KnownAnswer } from '../../../src/faults/ask-known.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { barOf } from '../../../src/faults/bar.ts';
import { modelFor } from '../../../src/faults/catalogue-model.ts';
import type { Told } from '../../../src/faults/records.ts';

const catalogue = readCatalogue('config/faults');
const model = modelFor(catalogue, barOf({ kind: 'hx', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' } as never));
const AGE: KnownAnswer = { question: 'seal-age', answer: 'months', at: 100 };
const HANDLE: KnownAnswer = { question: 'handle-position', answer: 'right', at: 200 };

const known = (readings: readonly Told[], answers: readonly KnownAnswer[], symptom = 'leak-at-rim'): readonly Told[] => withKnown(catalogue, model, symptom, readings, answers);

describe('what stands on record is not asked again', () => {
  test('it becomes an answer with its day, where the complaint asks for it', () => {
    expect(known([], [AGE, HANDLE])).toEqual([
      { kind: 'answer', question: 'seal-age', answer: 'months', by: '', at: 100, seen: 100 },
      { kind: 'answer', question: 'handle-position', answer: 'right', by: '', at: 200, seen: 200 },
    ]);
    expect(known([], [AGE, HANDLE], 'weak-steam')).toEqual([]);
  });

  test('a handle that stands in a dangerous place is asked about, never taken from an old look', () => {
    expect(known([], [{ ...HANDLE, answer: 'far-left' }])).toEqual([]);
  });

  test('what a person answered, or does not know, stands above the record; an older record gives way to a newer one', () => {
    const answered: Told = { kind: 'answer', question: 'handle-position', answer: 'straight', by: 'Mia', at: 300 };
    const unsure: Told = { kind: 'unsure', question: 'seal-age', by: 'Mia', at: 301 };
    expect(known([answered, unsure], [AGE, HANDLE])).toEqual([answered, unsure]);
    expect(known(known([], [AGE]), [{ ...AGE, answer: 'new', at: 400 }])).toEqual([{ kind: 'answer', question: 'seal-age', answer: 'new', by: '', at: 400, seen: 400 }]);
  });
});
