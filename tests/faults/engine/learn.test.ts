import { describe, expect, it } from 'vitest';
import { believe, chances } from '../../../src/faults/belief.ts';
import { brierScore, calibrationGap, saidAgainstFound, type Scored } from '../../../src/faults/calibration.ts';
import { compile } from '../../../src/faults/compiled.ts';
import { cameBack, LABEL_ERROR, learn, PRIOR_CASES, withLearned, type ClosedCase } from '../../../src/faults/learn.ts';
import type { Model, Reading } from '../../../src/faults/model.ts';
import { aCase, answer, cause, fact, job, model, question, randomFrom, said, symptom, tried } from './tiny.ts';

type Truth = { readonly weights: Readonly<Record<string, number>>; readonly cures: Readonly<Record<string, number>> };

const CAUSES = ['dirt', 'seal', 'ramp'] as const;
const sudden: Readonly<Record<string, number>> = { dirt: 0.8, seal: 0.2, ramp: 0.3 };

/** Dirt is wiped away by staff; seals and ramps are what a technician finds. */
const rim = ({ weights, cures }: Truth): Model =>
  model({
    causes: [cause('dirt', { fixer: 'staff' }), cause('seal', { fixer: 'staff' }), cause('ramp')],
    facts: [fact('sudden', [[0.5, 0.5]], { byCause: Object.fromEntries(CAUSES.map((id) => [id, [[1 - sudden[id]!, sudden[id]!]]])) })],
    questions: [question('came', 'sudden', [answer('slowly', [0.9, 0.1]), answer('at once', [0.1, 0.9])])],
    jobs: [job('wipe', cures)],
    symptoms: [symptom(weights, ['came'])],
  });

const ELICITED: Truth = { weights: { dirt: 1, seal: 1, ramp: 1 }, cures: { dirt: 0.6, seal: 0.1 } };
const TRUE: Truth = { weights: { dirt: 0.6, seal: 0.3, ramp: 0.1 }, cures: { dirt: 0.9, seal: 0.05 } };

const drawn = (random: () => number, weights: Readonly<Record<string, number>>): string => {
  let left = random();
  return Object.entries(weights).find(([, weight]) => (left -= weight) < 0)?.[0] ?? 'ramp';
};

/** A case as a café sees it: asked, wiped, and only if that fails looked at by a technician, who errs now and then. */
const happened = (random: () => number, truth: Truth): ClosedCase & { readonly cause: string } => {
  const is = drawn(random, truth.weights);
  const quick = random() < sudden[is]!;
  const told = random() < 0.9 ? quick : !quick;
  const cured = random() < (truth.cures[is] ?? 0);
  const others = CAUSES.filter((id) => id !== is);
  const found = random() < LABEL_ERROR ? others[Math.floor(2 * random())]! : is;
  const readings: readonly Reading[] = [said('came', told ? 'at once' : 'slowly'), tried('wipe', cured ? 'cured' : random() < 0.1 ? 'better' : 'same')];
  return { case: aCase(readings), found: cured ? null : found, cause: is };
};

const many = (count: number, seed: number, truth = TRUE): readonly (ClosedCase & { cause: string })[] => {
  const random = randomFrom(seed);
  return Array.from({ length: count }, () => happened(random, truth));
};

describe('learning from closed cases', () => {
  const cases = many(3000, 1);
  const learned = learn(rim(ELICITED), cases);
  const weights = learned.weights['symptom']!;

  it('finds the true chances of causes and cures from 3,000 cases', () => {
    for (const id of CAUSES) expect(weights[id], id).toBeCloseTo(TRUE.weights[id]!, 1);
    expect(Math.max(...CAUSES.map((id) => Math.abs(weights[id]! - TRUE.weights[id]!)))).toBeLessThan(0.03);
    expect(Math.abs(learned.cures['wipe']!['dirt']! - 0.9)).toBeLessThan(0.04);
    expect(learned.cures['wipe']!['seal']!).toBeLessThan(0.15);
    expect(learned.cases).toBe(3000);
  });

  it('where counting technicians\' findings stays wrong, however many there are', () => {
    const found = cases.filter((it) => it.found !== null);
    const counted = found.filter((it) => it.found === 'dirt').length / found.length;
    expect(Math.abs(counted - TRUE.weights['dirt']!)).toBeGreaterThan(0.3);
    expect(Math.abs(weights['dirt']! - TRUE.weights['dirt']!)).toBeLessThan(0.03);
  });

  it('makes later cases better foretold, and calibrated', () => {
    const score = (of: Model): { brier: number; gap: number } => {
      const compiled = compile(of, 'symptom');
      const scored = many(4000, 2).map(({ case: it, cause: found }): Scored => {
        const chance = chances(believe(compiled, aCase(it.readings.filter(({ kind }) => kind === 'answer'))));
        return { chances: Object.fromEntries(compiled.causes.map(({ id }, c) => [id, chance[c]!])), found };
      });
      return { brier: brierScore(scored), gap: calibrationGap(saidAgainstFound(scored, 10)) };
    };
    const [before, after, best] = [score(rim(ELICITED)), score(withLearned(rim(ELICITED), learned)), score(rim(TRUE))];
    expect(after.brier).toBeLessThan(before.brier - 0.05);
    expect(after.brier).toBeLessThan(best.brier + 0.005);
    expect(after.gap).toBeLessThan(0.03);
    expect(before.gap).toBeGreaterThan(0.05);
  });

  it('nothing seen, nothing changed', () => {
    const none = learn(rim(TRUE), []);
    CAUSES.forEach((id) => expect(none.weights['symptom']![id]).toBeCloseTo(TRUE.weights[id]!, 12));
    expect(none.cures['wipe']).toEqual(TRUE.cures);
  });

  it('what was elicited weighs as much as thirty cases, and a cure as eight', () => {
    const sure = model({ causes: [cause('a', { fixer: 'staff' }), cause('b')], jobs: [job('do', { a: 0.5 })], symptoms: [symptom({ a: 1, b: 1 })] });
    const closed = Array.from({ length: 30 }, (): ClosedCase => ({ case: aCase([tried('do', 'cured')]), found: null }));
    const after = learn(sure, closed);
    expect(after.weights['symptom']!['a']).toBeCloseTo((PRIOR_CASES.causes * 0.5 + 30) / 60, 6);
    expect(after.cures['do']!['a']).toBeCloseTo((PRIOR_CASES.cure * 0.5 + 30) / 38, 6);
  });

  it('a job that cannot end a cause never learns to', () => {
    const of = rim({ ...TRUE, cures: { dirt: 0.9, ramp: 0 } });
    const closed = Array.from({ length: 200 }, (): ClosedCase => ({ case: aCase([tried('wipe', 'cured')]), found: 'ramp' }));
    expect(learn(of, closed).cures['wipe']!['ramp']).toBe(0);
  });

  it('a finding moves a chance less than certainty would: technicians err', () => {
    const of = rim({ ...TRUE, weights: { dirt: 1, seal: 1, ramp: 1 } });
    const closed = Array.from({ length: 300 }, (): ClosedCase => ({ case: aCase(), found: 'ramp' }));
    const { ramp } = learn(of, closed).weights['symptom']!;
    expect(ramp).toBeGreaterThan(0.9);
    expect(ramp).toBeLessThanOrEqual((10 + 300) / 330);
  });

  it('what came back within a week was not cured', () => {
    expect(cameBack([said('came', 'slowly'), tried('wipe', 'cured')])).toEqual([said('came', 'slowly'), tried('wipe', 'same')]);
  });

  it('a finding outside the model, or an answer it does not know, does not break it', () => {
    const odd: ClosedCase = { case: aCase([said('gone', 'x'), tried('no such job', 'same')]), found: 'unheard of' };
    const { weights: after } = learn(rim(TRUE), [odd]);
    expect(Object.values(after['symptom']!).reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
  });
});

describe('scores, by hand', () => {
  it('Brier: .7 on what was found, .3 on the other: .18; certain and wrong: 2; right: 0; not among the causes: 1 more', () => {
    expect(brierScore([{ chances: { a: 0.7, b: 0.3 }, found: 'a' }])).toBeCloseTo(0.18, 12);
    expect(brierScore([{ chances: { a: 1, b: 0 }, found: 'b' }])).toBe(2);
    expect(brierScore([{ chances: { a: 1, b: 0 }, found: 'a' }])).toBe(0);
    expect(brierScore([{ chances: { a: 1 }, found: 'c' }])).toBe(2);
    expect(brierScore([])).toBeNaN();
  });

  it('bins: two said .75, one found; one said 1, found', () => {
    const cases: readonly Scored[] = [
      { chances: { a: 0.75, b: 0.25 }, found: 'a' },
      { chances: { a: 0.75, b: 0.25 }, found: 'b' },
      { chances: { a: 1, b: 0 }, found: 'a' },
    ];
    expect(saidAgainstFound(cases, 5)).toEqual([
      { from: 0, to: 0.2, cases: 0, said: 0, found: 0 },
      { from: 0.2, to: 0.4, cases: 0, said: 0, found: 0 },
      { from: 0.4, to: 0.6, cases: 0, said: 0, found: 0 },
      { from: 0.6, to: 0.8, cases: 2, said: 0.75, found: 0.5 },
      { from: 0.8, to: 1, cases: 1, said: 1, found: 1 },
    ]);
    expect(calibrationGap(saidAgainstFound(cases, 5))).toBeCloseTo((2 * 0.25 + 0) / 3, 12);
  });
});
