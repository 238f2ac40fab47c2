import { describe, expect, test } from 'vitest';
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

  test('it carries less than the same bag every time, which carries less than everything', () => {
    expect(of('kit').value).toBeLessThan(of('always the same').value);
    expect(of('always the same').value).toBeLessThan(of('everything').value);
  });

  test('nothing finishes more than everything does', () => {
    expect(of('everything').finished).toBeCloseTo(sample.reachable, 12);
    expect(of('kit').finished).toBeLessThanOrEqual(of('everything').finished);
  });
});
