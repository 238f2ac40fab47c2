/** Published and recomputed decision problems through the engine's own programme and questions. */
import { describe, expect, it } from 'vitest';
import type { Move } from '../../../src/faults/next-question.ts';
import { nextMove } from '../../../src/faults/next-question.ts';
import type { Model, Question } from '../../../src/faults/model.ts';
import { solver } from '../../../src/faults/plan.ts';
import { leftTable } from '../../../src/faults/programme.ts';
import type { BareEnd, BareJob } from './bare.ts';
import { ALL, bareBench, bareSolver, valueOf } from './bare.ts';
import { answer, cause, fact, model, plainQuestion, question, randomFrom, said, symptom } from './tiny.ts';

/** Each job ends one cause for sure; a cause beyond the jobs is left to the call. */
const oneEach = (costs: readonly number[], causes: number): readonly BareJob[] =>
  costs.map((cost, j) => ({ id: 'ABCDEFGH'[j]!, cost, cures: Array.from({ length: causes }, (_, c) => (c === j ? 1 : 0)) }));

const call = (cost: number, causes: number): readonly BareEnd[] => [{ kind: 'book', costs: Array.from({ length: causes }, () => cost) }];

type Planned = { readonly cost: number; readonly order: string };

const best = (chances: readonly number[], jobs: readonly BareJob[], fee: number): Planned => {
  const { cost, steps } = bareSolver(chances.length, jobs, call(fee, chances.length)).plan(Float64Array.from(chances), ALL).best;
  return { cost, order: steps.flatMap((step) => step.jobs).join('') };
};

const NEVER = 1e9;

describe('one fault, actions with costs of their own', () => {
  it('the published example (cs.stackexchange 144646): p .8, .2 at cost 3, 2 comes to 3.4, not 4.4', () => {
    expect(best([0.8, 0.2], oneEach([3, 2], 2), NEVER)).toEqual({ cost: expect.closeTo(3.4, 9) as number, order: 'AB' });
  });

  it('four actions (recomputed by full enumeration): 17.60', () => {
    const { cost, order } = best([0.45, 0.2, 0.25, 0.1], oneEach([10, 4, 20, 2], 4), NEVER);
    expect(cost).toBeCloseTo(17.6, 9);
    expect(['DBAC', 'BDAC']).toContain(order);
  });

  it.each([
    [20, 20, ''],
    [40, 27.55, 'ABD'],
    [60, 33.55, 'ABDC'],
    [100, 37.55, 'ABDC'],
    [120, 39.55, 'ABDC'],
    [160, 43.55, 'ABDC'],
    [200, 47.55, 'ABDC'],
  ])('with a call at %d that alone ends a tenth of it: %d (recomputed)', (fee, cost, order) => {
    const jobs = oneEach([10, 5, 40, 2], 5);
    expect(best([0.45, 0.15, 0.25, 0.05, 0.1], jobs, fee)).toEqual({ cost: expect.closeTo(cost, 9) as number, order });
  });

  it('the dear action enters when the call passes 56: cost over chance, times what is left', () => {
    const jobs = oneEach([10, 5, 40, 2], 5);
    const chances = [0.45, 0.15, 0.25, 0.05, 0.1];
    expect(best(chances, jobs, 55.9).order).toBe('ABD');
    expect(best(chances, jobs, 56.1).order).toBe('ABDC');
  });

  it('the trap of stopping early: one action alone never pays, both do (15 against 16 and 18, recomputed)', () => {
    expect(best([0.5, 0.5], oneEach([10, 10], 2), 16)).toEqual({ cost: expect.closeTo(15, 9) as number, order: expect.stringMatching(/^(AB|BA)$/) as string });
    expect(best([0.5, 0.5], oneEach([10], 2), 16).cost).toBeCloseTo(16, 9);
  });

  it('chance over cost fails when jobs share causes: 3, 2, 1 at 29.80 where the ratios say 1, 3, 2 at 30.61 (recomputed)', () => {
    const jobs: readonly BareJob[] = [
      { id: '1', cost: 10, cures: [0.8, 0.5, 0] },
      { id: '2', cost: 6, cures: [0, 0.8, 0] },
      { id: '3', cost: 9, cures: [0.9, 0, 0] },
    ];
    expect(best([0.5, 0.3, 0.2], jobs, 60)).toEqual({ cost: expect.closeTo(29.8, 9) as number, order: '321' });
    expect(best([0.5, 0.3, 0.2], [], 60).cost).toBeCloseTo(60, 9);
    expect(Math.min(...jobs.map((job) => best([0.5, 0.3, 0.2], [job], 60).cost))).toBeCloseTo(37, 9);
  });

  it('with one job for each cause the optimum is the best prefix of falling chance over cost, on 300 random problems', () => {
    const random = randomFrom(11);
    for (let i = 0; i < 300; i += 1) {
      const raw = Array.from({ length: 6 }, () => random() + 0.05);
      const sum = raw.reduce((a, b) => a + b, 0);
      const chances = raw.map((x) => x / sum);
      const costs = Array.from({ length: 5 }, () => 1 + 30 * random());
      const fee = 10 + 100 * random();
      const order = [0, 1, 2, 3, 4].sort((a, b) => chances[b]! / costs[b]! - chances[a]! / costs[a]!);
      const prefixes = [0, 1, 2, 3, 4, 5].map((length) => {
        let [left, cost] = [1, 0];
        for (const j of order.slice(0, length)) [cost, left] = [cost + left * costs[j]!, left - chances[j]!];
        return cost + left * fee;
      });
      expect(best(chances, oneEach(costs, 6), fee).cost).toBeCloseTo(Math.min(...prefixes), 9);
    }
  });
});

describe('oil wildcatter (Raiffa 1968; tables as in Shenoy 1992)', () => {
  const oil = ['dry', 'wet', 'soaking'];
  const state = fact('oil', [[1, 0, 0]], {
    states: oil,
    byCause: { dry: [[1, 0, 0]], wet: [[0, 1, 0]], soaking: [[0, 0, 1]] },
  });
  const seismic = (cost: number): Question =>
    question('seismic', 'oil', [answer('closed', [0.1, 0.3, 0.5]), answer('open', [0.3, 0.4, 0.4]), answer('diffuse', [0.6, 0.3, 0.1])], { cost });
  const wells = (questions: readonly Question[]): Model =>
    model({
      causes: oil.map((id) => cause(id)),
      facts: [state],
      questions,
      symptoms: [symptom({ dry: 0.5, wet: 0.3, soaking: 0.2 }, questions.map(({ id }) => id))],
    });
  /** Drilling stands as "book" at minus its payoff, leaving as "nothing wrong" at 0. */
  const ends: readonly BareEnd[] = [
    { kind: 'book', costs: [70, -50, -200] },
    { kind: 'nothing-wrong', costs: [0, 0, 0] },
  ];
  const move = (questions: readonly Question[], readings: Parameters<typeof bareBench>[2] = []): Move =>
    nextMove(bareBench(wells(questions), ends, readings));
  const saved = (it: Move): number => (it.kind === 'ask' ? it.saving : 0);

  it('is worth 20 without a test', () => {
    expect(valueOf(bareSolver(3, [], ends), [0.5, 0.3, 0.2])).toBeCloseTo(-20, 9);
  });

  it('tests at a cost of 10: 22.5 in all (22.5 from memory, recomputed), so 2.5 better than drilling at once', () => {
    expect(move([seismic(10)])).toMatchObject({ kind: 'ask', question: 'seismic' });
    expect(saved(move([seismic(10)]))).toBeCloseTo(2.5, 9);
  });

  it('would pay 12.5 for the test and 35 for knowing the oil, and no more (recomputed)', () => {
    expect(saved(move([seismic(0)]))).toBeCloseTo(12.5, 9);
    expect(move([seismic(12.4)]).kind).toBe('ask');
    expect(move([seismic(12.6)]).kind).toBe('act');
    expect(saved(move([plainQuestion('look', state)]))).toBeCloseTo(35, 9);
  });

  it.each([
    ['closed', 'book', 87.5],
    ['open', 'book', 32.857143],
    ['diffuse', 'nothing-wrong', 0],
  ] as const)('after %s: %s', (result, kind, worth) => {
    const act = move([seismic(10)], [said('seismic', result)]);
    if (act.kind !== 'act') throw new Error('asked again');
    expect(act.options[0]!.end.kind).toBe(kind);
    expect(-act.options[0]!.cost).toBeCloseTo(worth, 6);
  });

  it.each([
    ['closed', [0.208333, 0.375, 0.416667], -87.5],
    ['open', [0.428571, 0.342857, 0.228571], -32.857143],
    ['diffuse', [0.731707, 0.219512, 0.04878], 30.487805],
  ] as const)('the oil after %s, and what drilling then costs (recomputed)', (result, oilThen, cost) => {
    const { chance } = bareBench(wells([seismic(10)]), ends, [said('seismic', result)]);
    oilThen.forEach((expected, s) => expect(chance[s]).toBeCloseTo(expected, 6));
    expect(valueOf(bareSolver(3, [], ends.slice(0, 1)), [...chance])).toBeCloseTo(cost, 6);
  });
});

describe('wildcatter with an uncertain drilling cost (tables of a statistical package\'s tutorial)', () => {
  const oil = [[0.5, 0], [0.3, 700], [0.2, 1200]] as const;
  const drilling = [[0.2, 150], [0.6, 300], [0.2, 500]] as const;
  const joint = oil.flatMap(([p, revenue], o) => drilling.map(([q, cost], d) => ({ id: `oil ${o} cost ${d}`, o, d, chance: p * q, loss: cost - revenue })));
  const oneHot = (is: number): readonly (readonly number[])[] => [[0, 1, 2].map((s) => (s === is ? 1 : 0))];
  const ofOil = fact('oil', [[1, 0, 0]], { byCause: Object.fromEntries(joint.map(({ id, o }) => [id, oneHot(o)])) });
  const ofCost = fact('cost', [[1, 0, 0]], { byCause: Object.fromEntries(joint.map(({ id, d }) => [id, oneHot(d)])) });
  const ends: readonly BareEnd[] = [
    { kind: 'book', costs: joint.map(({ loss }) => loss) },
    { kind: 'nothing-wrong', costs: joint.map(() => 0) },
  ];
  const saved = (asked: Question): number => {
    const of = model({
      causes: joint.map(({ id }) => cause(id)),
      facts: [ofOil, ofCost],
      questions: [asked],
      symptoms: [symptom(Object.fromEntries(joint.map(({ id, chance }) => [id, chance])), [asked.id])],
    });
    const move = nextMove(bareBench(of, ends));
    return move.kind === 'ask' ? move.saving : 0;
  };

  it('is worth 140 thousand without knowing more (recomputed)', () => {
    expect(valueOf(bareSolver(9, [], ends), joint.map(({ chance }) => chance))).toBeCloseTo(-140, 9);
  });

  it('prints 155 thousand for perfect information about the oil; about the cost it is 10 (recomputed)', () => {
    expect(saved(plainQuestion('oil', ofOil))).toBeCloseTo(155, 9);
    expect(saved(plainQuestion('cost', ofCost))).toBeCloseTo(10, 9);
  });

  it('does not take the sounding at 60 thousand, which is worth 40.1 (recomputed)', () => {
    const sounding = (cost: number): Question =>
      question('sounding', 'oil', [answer('closed', [0.1, 0.3, 0.5]), answer('open', [0.3, 0.4, 0.4]), answer('diffuse', [0.6, 0.3, 0.1])], { cost });
    expect(saved(sounding(60))).toBe(0);
    expect(saved(sounding(0))).toBeCloseTo(40.1, 9);
  });
});

it('an imperfect test of two states (textbook, chapter 13): 280 or -40, 120 without it, 20 for knowing (recomputed)', () => {
  const ends: readonly BareEnd[] = [
    { kind: 'book', costs: [-280, 40] },
    { kind: 'nothing-wrong', costs: [0, 0] },
  ];
  const ground = fact('ground', [[1, 0]], { byCause: { good: [[1, 0]], bad: [[0, 1]] } });
  const of = model({
    causes: [cause('good'), cause('bad')],
    facts: [ground],
    questions: [plainQuestion('test', ground)],
    symptoms: [symptom({ good: 1, bad: 1 }, ['test'])],
  });
  const move = nextMove(bareBench(of, ends));
  expect(valueOf(bareSolver(2, [], ends), [0.5, 0.5])).toBeCloseTo(-120, 9);
  expect(move.kind === 'ask' ? move.saving : 0).toBeCloseTo(20, 9);
});

it('a café that waits for free and has no job calls at once', () => {
  const only = solver({ causes: 1, jobs: [], left: leftTable(1, 0, () => 1), slots: [], hotFrom: 0, outcomes: [{ kind: 'book', level: 0, costs: [Float64Array.of(7)] }], waits: [], booked: [] });
  expect(only.plan(Float64Array.of(1), ALL).best).toMatchObject({ cost: 7, steps: [], end: { kind: 'book' } });
});
