import { describe, expect, test } from 'vitest';
import { bookTrade } from './kit-trade.ts';
import { simulate, type Plan } from './kit-simulation.ts';

const sample = simulate({ seed: 20320, tours: 400, level: 0.9, overconfidence: 1 });
const of = (plan: Plan) => {
  const found = sample.results.find((result) => result.plan === plan);
  if (found === undefined) throw new Error(plan);
  return found;
};

describe('simulated visits', () => {
  test('with true chances the kit finishes what it promised, within three standard errors', () => {
    const error = Math.sqrt((sample.promised * (1 - sample.promised)) / sample.visits);
    expect(Math.abs(of('kit').finished - sample.promised)).toBeLessThan(3 * error);
    expect(of('kit').finished).toBeGreaterThan(0.9 * sample.reachable - 3 * error);
  });

  test('the promise is the truth where the chances are, and misses by no more than they do where they are too sharp', () => {
    expect(sample.promised).toBeCloseTo(sample.kept, 12);
    expect(sample.apart).toBeLessThan(1e-12);
    const sharp = simulate({ seed: 20320, tours: 400, level: 0.9, overconfidence: 1.5 });
    expect(sharp.promised).toBeGreaterThan(sharp.kept);
    expect(sharp.promised - sharp.kept).toBeLessThan(sharp.apart);
    const error = Math.sqrt((sharp.kept * (1 - sharp.kept)) / sharp.visits);
    expect(Math.abs((sharp.results[0]?.finished ?? 0) - sharp.kept)).toBeLessThan(3 * error);
  });

  test('it carries less than the same bag every time, which carries less than everything', () => {
    expect(of('kit').value).toBeLessThan(of('always the same').value);
    expect(of('always the same').value).toBeLessThan(of('everything').value);
  });

  test('nothing finishes more than everything does', () => {
    expect(of('everything').finished).toBeCloseTo(sample.reachable, 12);
    expect(of('kit').finished).toBeLessThanOrEqual(of('everything').finished);
  });
});

describe('the trade of the parts book', () => {
  test('shares of every complaint add up, and every part and size it wants has a value', () => {
    const trade = bookTrade();
    expect(trade.symptoms.length).toBeGreaterThan(30);
    for (const causes of trade.symptoms) expect(causes.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
    const wanted = trade.symptoms.flat().flatMap(({ parts }) => (typeof parts === 'string' ? (parts === 'seal' ? trade.sizes : []) : parts));
    expect(wanted.filter((part) => !((trade.values.get(part) ?? 0) > 0))).toEqual([]);
  });
});
