import { inferences, type INetwork } from 'bayesjs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { absorb, answerChances, believe, chances, start } from '../../../src/faults/belief.ts';
import { at, compile } from '../../../src/faults/compiled.ts';
import type { Fact, Model, Reading } from '../../../src/faults/model.ts';
import { ONE_GONE_SEEMS_BETTER, SEEMS_BETTER } from '../../../src/faults/tries.ts';
import { exact } from './exact.ts';
import { FAMILIES, problem } from './problems.ts';
import { aCase, answer, cause, fact, job, model, plainQuestion, question, randomFrom, said, symptom, tried, unsure } from './tiny.ts';

const posterior = (of: Model, readings: readonly Reading[]): readonly number[] => [
  ...chances(believe(compile(of, 'symptom'), aCase(readings))),
];

const gapBetween = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  Math.max(...Array.from(a, (x, i) => Math.abs(x - at(b, i))));

/** Some answers, unsure ones included, to some of a model's questions. */
const someReadings = (of: Model, seed: number): readonly Reading[] => {
  const random = randomFrom(seed);
  return of.questions.flatMap(({ id, answers }) => {
    const draw = random();
    if (draw < 0.3) return [];
    if (draw < 0.4) return [unsure(id)];
    return [said(id, at(answers, Math.floor(random() * answers.length)).id)];
  });
};

describe('posterior against enumeration of every world', () => {
  it.each(FAMILIES)('agrees to 1e-9 on 200 random models: %s', (family) => {
    let worst = 0;
    for (let seed = 0; seed < 200; seed += 1) {
      const given = problem(family, seed);
      const worlds = exact(given.model, given.situation);
      const readings = someReadings(given.model, seed);
      worst = Math.max(worst, gapBetween(posterior(given.model, readings), worlds.causeChances(worlds.at(readings))));
    }
    expect(worst).toBeLessThan(1e-9);
  });

  it('agrees where jobs were tried between the answers, pairs half ended included', () => {
    let worst = 0;
    for (let seed = 0; seed < 200; seed += 1) {
      const given = problem('pairs', seed);
      const worlds = exact(given.model, given.situation);
      const told = someReadings(given.model, seed);
      const readings = [...told.slice(0, 1), tried('j0', seed % 2 === 0 ? 'better' : 'same'), ...told.slice(1), tried('j1', 'same')];
      worst = Math.max(worst, gapBetween(posterior(given.model, readings), worlds.causeChances(worlds.at(readings))));
    }
    expect(worst).toBeLessThan(1e-12);
  });
});

/** The model as a network for an independent library: the cause, the facts below it, the questions below them. */
const asNetwork = (of: Model): INetwork => {
  const causes = of.causes.map(({ id }) => id);
  const weights = new Map(of.symptoms[0]!.causes.map((entry) => [entry.cause, entry.weight]));
  const total = [...weights.values()].reduce((a, b) => a + b, 0);
  const named = (states: readonly string[], row: readonly number[]): Record<string, number> =>
    Object.fromEntries(states.map((state, s) => [state, row[s]!]));
  const factNode = ({ id, states, parent, usual, byCause }: Fact): INetwork[string] => ({
    id,
    states: [...states],
    parents: parent === null ? ['cause'] : ['cause', parent],
    cpt: causes.flatMap((c) =>
      (byCause[c] ?? usual).map((row, p) => ({
        when: parent === null ? { cause: c } : { cause: c, [parent]: of.facts.find((it) => it.id === parent)!.states[p]! },
        then: named(states, row),
      })),
    ),
  });
  const questionNode = ({ id, fact: f, answers }: Model['questions'][number]): INetwork[string] => {
    const states = of.facts.find((it) => it.id === f)!.states;
    const ids = answers.map((it) => it.id);
    const row = (s: number): readonly number[] => answers.map(({ given }) => given[s]!);
    return { id, states: ids, parents: [f], cpt: states.map((state, s) => ({ when: { [f]: state }, then: named(ids, row(s)) })) };
  };
  return {
    cause: { id: 'cause', states: causes, parents: [], cpt: Object.fromEntries(causes.map((c) => [c, (weights.get(c) ?? 0) / total])) },
    ...Object.fromEntries(of.facts.map((it) => [it.id, factNode(it)])),
    ...Object.fromEntries(of.questions.map((it) => [it.id, questionNode(it)])),
  };
};

describe('posterior against bayesjs 0.6.5', () => {
  it.each(['plain', 'shared facts'] as const)('agrees on 60 random networks: %s', (family) => {
    let worst = 0;
    for (let seed = 0; seed < 60; seed += 1) {
      const { model: of } = problem(family, seed);
      const readings = someReadings(of, seed).filter(({ kind }) => kind === 'answer');
      const evidence = Object.fromEntries(readings.map((it) => (it.kind === 'answer' ? [it.question, it.answer] : [])));
      const network = asNetwork(of);
      const theirs = of.causes.map(({ id }) => inferences.variableElimination.infer(network, { cause: id }, evidence));
      worst = Math.max(worst, gapBetween(posterior(of, readings), theirs));
    }
    expect(worst).toBeLessThan(1e-9);
  });
});

describe('what a reading says', () => {
  const leak = fact('leak', [[0.8, 0.2]], { byCause: { seal: [[0.1, 0.9]] } });
  const look = (id: string): ReturnType<typeof question> =>
    question(id, 'leak', [answer('dry', [0.9, 0.1]), answer('wet', [0.1, 0.9])], { unsure: 0.05 });
  const of = model({
    causes: [cause('seal'), cause('dose')],
    facts: [leak],
    questions: [look('q1'), look('q2'), look('q3'), plainQuestion('sure', leak)],
    symptoms: [symptom({ seal: 1, dose: 1 }, ['q1', 'q2', 'q3', 'sure'])],
  });
  const seal = (readings: readonly Reading[]): number => at(posterior(of, readings), 0);

  it('the same thing asked three times in other words never says more than knowing it', () => {
    const once = seal([said('q1', 'wet')]);
    const thrice = seal([said('q1', 'wet'), said('q2', 'wet'), said('q3', 'wet')]);
    const known = seal([said('sure', 's1')]);
    expect(known).toBeCloseTo(0.9 / 1.1, 12);
    expect(thrice).toBeGreaterThan(once);
    expect(thrice).toBeLessThan(known);
    const asIfApart = 0.82 ** 3 / (0.82 ** 3 + 0.26 ** 3);
    expect(thrice).toBeLessThan(asIfApart - 0.1);
  });

  it('"don\'t know" says nothing', () => {
    expect(seal([unsure('q1')])).toBe(0.5);
    expect(seal([said('q1', 'wet'), unsure('q1'), unsure('q2')])).toBe(seal([said('q1', 'wet')]));
  });

  it('the same answer pressed twice counts once, a corrected answer replaces the first', () => {
    expect(seal([said('q1', 'wet'), said('q1', 'wet')])).toBe(seal([said('q1', 'wet')]));
    expect(seal([said('q1', 'wet'), said('q1', 'dry')])).toBe(seal([said('q1', 'dry')]));
  });

  it('a record that is certain and an answer without error say the same', () => {
    expect(seal([{ kind: 'record', fact: 'leak', likelihood: [0, 1] }])).toBeCloseTo(seal([said('sure', 's1')]), 12);
  });

  it('a record of a fact the model does not have changes nothing', () => {
    expect(seal([{ kind: 'record', fact: 'nowhere', likelihood: [0, 1] }])).toBe(0.5);
  });

  it('an answer to a question the model has no longer changes nothing, nor one that is no answer to it', () => {
    expect(seal([said('gone', 'wet'), said('q1', 'no such answer')])).toBe(0.5);
  });

  it('the order of answers does not matter', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 199 }), fc.constantFrom(...FAMILIES), (seed, family) => {
        const { model: random } = problem(family, seed);
        const readings = someReadings(random, seed + 1000);
        const turned = [...readings].reverse();
        expect(gapBetween(posterior(random, readings), posterior(random, turned))).toBeLessThan(1e-12);
      }),
      { seed: 20260729, numRuns: 200 },
    );
  });

  it('an answer likelier under one cause than under all others never lowers that cause', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 199 }), (seed) => {
        const compiled = compile(problem('shared facts', seed).model, 'symptom');
        const before = start(compiled, compiled.weights);
        for (let q = 0; q < compiled.questions.length; q += 1) {
          const { fact: f, given } = at(compiled.questions, q);
          answerChances(compiled, before, q).forEach((likelihood, a) => {
            const best = likelihood.indexOf(Math.max(...likelihood));
            const after = chances(absorb(compiled, before, f, at(given, a)));
            expect(at(after, best)).toBeGreaterThanOrEqual(at(chances(before), best) - 1e-12);
          });
        }
      }),
      { seed: 20260729, numRuns: 100 },
    );
  });
});

describe('jobs tried', () => {
  const of = model({
    causes: [cause('rim', { fixer: 'staff' }), cause('seal', { fixer: 'staff' }), cause('both', { parts: ['rim', 'seal'], fixer: 'staff' })],
    jobs: [job('wipe', { rim: 0.8 })],
    symptoms: [symptom({ rim: 5, seal: 3, both: 2 })],
  });

  it('one that changed nothing weighs against what it would have ended', () => {
    const none = [0.5 * 0.2 * (1 - SEEMS_BETTER), 0.3 * (1 - SEEMS_BETTER)];
    const pair = 0.2 * 0.2 * (1 - SEEMS_BETTER);
    const half = 0.2 * 0.8 * (1 - ONE_GONE_SEEMS_BETTER);
    const total = none[0]! + none[1]! + pair + half;
    expect(gapBetween(posterior(of, [tried('wipe', 'same')]), [none[0]! / total, (none[1]! + half) / total, pair / total])).toBeLessThan(1e-12);
  });

  it('"better but not gone" points to a pair of which one part is left', () => {
    expect(at(posterior(of, [tried('wipe', 'better')]), 1)).toBeGreaterThan(0.8);
    expect(at(posterior(of, [tried('wipe', 'better')]), 0)).toBeLessThan(0.1);
  });

  it('"cured" leaves what it can cure', () => {
    expect(posterior(of, [tried('wipe', 'cured')])).toEqual([1, 0, 0]);
  });
});

describe('readings that no cause allows', () => {
  const sure = fact('colour', [[1, 0]]);
  const of = (other: boolean): Model =>
    model({
      causes: [cause('a'), cause('b'), cause('other', { other: true })],
      facts: [sure],
      questions: [plainQuestion('q', sure)],
      symptoms: [symptom(other ? { a: 1, b: 1, other: 0.1 } : { a: 1, b: 1 }, ['q'])],
    });

  it('leave "something else"', () => expect(posterior(of(true), [said('q', 's1')])).toEqual([0, 0, 1]));
  it('change nothing where there is no such cause, instead of chances that are not numbers', () => {
    expect(posterior(of(false), [said('q', 's1')])).toEqual([0.5, 0.5]);
  });
});

it('a model is compiled once', () => {
  const { model: of } = problem('plain', 1);
  expect(compile(of, 'symptom')).toBe(compile(of, 'symptom'));
});
