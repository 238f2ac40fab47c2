import { expect, test } from 'vitest';
import { CHECK_BARS } from '../../../src/faults/catalogue-check.ts';
import { modelFor } from '../../../src/faults/catalogue-model.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { compile, rowsOf } from '../../../src/faults/compiled.ts';

const model = modelFor(readCatalogue('config/faults'), CHECK_BARS[0]!);

test('every chance of the catalogue lies where it is looked for, under every complaint and cause', () => {
  for (const { id } of model.symptoms) {
    const { facts, causes } = compile(model, id);
    for (const { fact, rows, parent, parentStates } of facts) {
      expect([...rows], `${id} ${fact.id}`).toEqual(causes.flatMap((cause) => rowsOf(fact, cause).flat()));
      expect(parent < 0 ? null : facts[parent]!.fact.id, fact.id).toBe(fact.parent);
      expect(parentStates, fact.id).toBe(parent < 0 ? 1 : facts[parent]!.states);
    }
  }
});

test('a row of the wrong length is refused instead of shifting all that follow', () => {
  const [first, ...others] = model.facts;
  const [symptom] = model.symptoms;
  const short = { ...first!, byCause: { ...first!.byCause, [symptom!.causes[0]!.cause]: [[1]] } };
  expect(() => compile({ ...model, facts: [short, ...others] }, symptom!.id)).toThrow(first!.id);
});
