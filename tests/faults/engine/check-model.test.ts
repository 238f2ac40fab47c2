import { describe, expect, it } from 'vitest';
import type { ModelFault } from '../../../src/faults/check-model.ts';
import { modelFaults } from '../../../src/faults/check-model.ts';
import type { Model } from '../../../src/faults/model.ts';
import { fullSize } from './full-size.ts';
import { FAMILIES, problem } from './problems.ts';
import { answer, cause, fact, job, model, question, symptom } from './tiny.ts';

const sound: Model = model({
  causes: [cause('dirt', { fixer: 'staff' }), cause('pump'), cause('both', { parts: ['dirt', 'pump'] })],
  facts: [fact('side', [[0.5, 0.5]]), fact('below', [[0.1, 0.9], [0.5, 0.5]], { parent: 'side' })],
  questions: [question('q', 'side', [answer('a', [0.9, 0.1]), answer('b', [0.1, 0.9])])],
  jobs: [job('wipe', { dirt: 0.9 }, { unsafeUnder: ['pump'] })],
  symptoms: [symptom({ dirt: 1, pump: 1, both: 1 }, ['q'])],
});

const kinds = (over: Partial<Model>): readonly ModelFault['kind'][] => [...new Set(modelFaults({ ...sound, ...over }).map(({ kind }) => kind))];

it('finds nothing in sound models', () => {
  expect(modelFaults(sound)).toEqual([]);
  expect(modelFaults(fullSize(1).model)).toEqual([]);
  for (const family of FAMILIES) expect(modelFaults(problem(family, 1).model)).toEqual([]);
});

describe('finds', () => {
  const [dirt, pump, both] = [sound.causes[0]!, sound.causes[1]!, sound.causes[2]!];

  it.each<[string, Partial<Model>, ModelFault['kind']]>([
    ['a staff job that ends a technician\'s cause', { jobs: [job('wipe', { pump: 0.1 })] }, 'cured-elsewhere'],
    ['a staff job that ends another trade\'s cause', { causes: [{ ...dirt, fixer: 'other-trade' }, pump, both] }, 'cured-elsewhere'],
    ['a job that ends a pair', { jobs: [job('wipe', { both: 0.1 })] }, 'pair'],
    ['what hurts people and asks for no caution', { causes: [dirt, { ...pump, harm: 'people' }, { ...both, harm: 'people' }] }, 'harm-without-danger'],
    ['a pair milder than its part', { causes: [dirt, { ...pump, danger: 'machine-off', harm: 'people' }, both] }, 'pair'],
    ['a pair of three, or of a pair', { causes: [dirt, pump, { ...both, parts: ['dirt', 'pump', 'dirt'] }] }, 'pair'],
    ['a danger question that needs hands', { questions: [{ ...sound.questions[0]!, danger: true, handsOn: true }] }, 'danger-out-of-reach'],
    ['a danger question that needs a hot machine', { questions: [{ ...sound.questions[0]!, danger: true, machine: 'hot' }] }, 'danger-out-of-reach'],
    ['a row that does not sum to 1', { facts: [fact('side', [[0.5, 0.4]]), sound.facts[1]!] }, 'sum'],
    ['a chance below 0', { facts: [fact('side', [[1.1, -0.1]]), sound.facts[1]!] }, 'chance'],
    ['a row for each state of the parent missing', { facts: [sound.facts[0]!, fact('below', [[0.5, 0.5]], { parent: 'side' })] }, 'shape'],
    ['facts in a circle', { facts: [fact('side', [[0.5, 0.5], [0.5, 0.5]], { parent: 'below' }), sound.facts[1]!] }, 'circle'],
    ['answers that do not sum to 1', { questions: [question('q', 'side', [answer('a', [0.9, 0.1]), answer('b', [0.2, 0.9])])] }, 'sum'],
    ['an unknown fact', { questions: [{ ...sound.questions[0]!, fact: 'nowhere' }] }, 'unknown'],
    ['an unknown cause', { jobs: [job('wipe', { nobody: 0.5 })] }, 'unknown'],
    ['an id used twice', { jobs: [...sound.jobs, ...sound.jobs] }, 'twice'],
    ['a weight of 0', { symptoms: [symptom({ dirt: 0, pump: 1 })] }, 'amount'],
    ['a symptom without a cause', { symptoms: [symptom({})] }, 'no-cause'],
    ['a floor that is a stop in itself', { causes: [{ ...dirt, floor: 0.2 }, pump, both] }, 'chance'],
  ])('%s', (_, over, kind) => expect(kinds(over)).toContain(kind));
});
