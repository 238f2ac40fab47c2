/**
 * Published networks through the engine: joint states of the causes stand as causes of their own, findings as facts.
 * Conditional chances read in the sources named; the posteriors are exact enumerations done apart from this code, the
 * figures marked "printed" stand in the source.
 */
import { describe, expect, it } from 'vitest';
import { believe, chances, stateChances } from '../../../src/faults/belief.ts';
import { at, compile } from '../../../src/faults/compiled.ts';
import type { Model, Reading } from '../../../src/faults/model.ts';
import { aCase, cause, fact, model, symptom } from './tiny.ts';

type Assignment = Readonly<Record<string, boolean>>;

/** All true-or-false assignments to some names. */
const assignments = (names: readonly string[]): readonly Assignment[] =>
  names.reduce<readonly Assignment[]>(
    (all, name) => all.flatMap((one) => [{ ...one, [name]: true }, { ...one, [name]: false }]),
    [{}],
  );

const idOf = (one: Assignment): string => Object.entries(one).map(([name, is]) => (is ? name : `no-${name}`)).join(' ');
const yesNo = (yes: number): readonly number[] => [yes, 1 - yes];

type Net = {
  readonly names: readonly string[];
  readonly joint: (one: Assignment) => number;
  readonly findings: Readonly<Record<string, (one: Assignment) => number>>;
};

/** Names become facts that each cause fixes; findings become facts with their chance under each cause. */
const asModel = ({ names, joint, findings }: Net): Model => {
  const all = assignments(names);
  const rows = (of: (one: Assignment) => number): Record<string, readonly (readonly number[])[]> =>
    Object.fromEntries(all.map((one) => [idOf(one), [yesNo(of(one))]]));
  const facts = [
    ...names.map((name) => fact(name, [[0.5, 0.5]], { byCause: rows((one) => (one[name] === true ? 1 : 0)) })),
    ...Object.entries(findings).map(([name, of]) => fact(name, [[0.5, 0.5]], { byCause: rows(of) })),
  ];
  const weights = Object.fromEntries(all.map((one) => [idOf(one), joint(one)]));
  return model({ causes: all.map((one) => cause(idOf(one))), facts, symptoms: [symptom(weights)] });
};

const record = (of: string, is: boolean): Reading => ({ kind: 'record', fact: of, likelihood: is ? [1, 0] : [0, 1] });

/** Chance of the evidence, and of each fact being so given it. */
const ask = (of: Model, evidence: Readonly<Record<string, boolean>>): { chance: number; is: (name: string) => number } => {
  const compiled = compile(of, 'symptom');
  const belief = believe(compiled, aCase(Object.entries(evidence).map(([name, is]) => record(name, is))));
  const chance = chances(belief);
  return {
    chance: belief.mass.reduce((a, b) => a + b, 0),
    is: (name) => {
      const states = stateChances(compiled, belief, compiled.factIndex.get(name)!);
      return chance.reduce((sum, x, c) => sum + x * at(states, 2 * c), 0);
    },
  };
};

const given = (is: boolean | undefined, yes: number, no: number): number => (is === true ? yes : no);
const bernoulli = (is: boolean | undefined, yes: number): number => (is === true ? yes : 1 - yes);

describe('chest clinic (Lauritzen and Spiegelhalter 1988; conditional chances as in the gRain documentation)', () => {
  const either = (one: Assignment): boolean => one['tub'] === true || one['lung'] === true;
  const net = asModel({
    names: ['asia', 'smoke', 'tub', 'lung', 'bronc'],
    joint: ({ asia, smoke, tub, lung, bronc }) =>
      bernoulli(asia, 0.01) * 0.5 * bernoulli(tub, given(asia, 0.05, 0.01)) *
      bernoulli(lung, given(smoke, 0.1, 0.01)) * bernoulli(bronc, given(smoke, 0.6, 0.3)),
    findings: {
      either: (one) => (either(one) ? 1 : 0),
      xray: (one) => (either(one) ? 0.98 : 0.05),
      dysp: (one) => (one['bronc'] === true ? (either(one) ? 0.9 : 0.8) : either(one) ? 0.7 : 0.1),
    },
  });
  const asked = ['tub', 'lung', 'bronc', 'either', 'xray', 'dysp'];

  it.each([
    ['none', {}, 1, [0.0104, 0.055, 0.45, 0.064828, 0.11029, 0.4359706]],
    ['asia', { asia: true }, 0.01, [0.05, 0.055, 0.45, 0.10225, 0.1450925, 0.4501375]],
    ['smoke', { smoke: true }, 0.5, [0.0104, 0.1, 0.6, 0.10936, 0.1517048, 0.552808]],
    ['dysp', { dysp: true }, 0.4359706, [0.0188453, 0.1027592, 0.8339673, 0.1205358, 0.1620983, 1]],
    ['xray', { xray: true }, 0.11029004, [0.0924109, 0.4887114, 0.5063262, 0.5760397, 1, 0.640766]],
    ['asia, dysp', { asia: true, dysp: true }, 0.004501375, [0.087751, 0.0995251, 0.8114021, 0.1822999, 0.2195389, 1]],
    ['asia, dysp, smoke', { asia: true, dysp: true, smoke: true }, 0.0028175, [0.0727595, 0.1455191, 0.8672582, 0.2110027, 0.2462325, 1]],
    ['asia, dysp, no smoke', { asia: true, dysp: true, smoke: false }, 0.001683875, [0.112835, 0.022567, 0.7179422, 0.1342736, 0.1748745, 1]],
    ['asia, dysp, no xray', { asia: true, dysp: true, xray: false }, 0.0035131482, [0.0022487, 0.0025504, 0.8627608, 0.0046716, 0, 1]],
    ['asia, dysp, xray', { asia: true, dysp: true, xray: true }, 0.0009882267, [0.3917117, 0.4442705, 0.6288218, 0.8137687, 1, 1]],
    ['xray, dysp', { xray: true, dysp: true }, 0.0706701044, [0.1139333, 0.6212528, 0.6818685, 0.7287251, 1, 1]],
    ['smoke, xray, dysp', { smoke: true, xray: true, dysp: true }, 0.055519168, [0.0752663, 0.723714, 0.7137055, 0.7914536, 1, 1]],
  ] as const)('given %s', (_, evidence, chance, expected) => {
    const answer = ask(net, evidence);
    expect(answer.chance).toBeCloseTo(chance, 7);
    asked.forEach((name, i) => expect(answer.is(name), name).toBeCloseTo(expected[i]!, 7));
  });

  it('agrees with what the gRain unit test prints: tub .0104, lung .055, bronc .45, both asia and dysp .004501375', () => {
    expect(ask(net, {}).is('tub')).toBeCloseTo(0.0104, 12);
    expect(ask(net, {}).is('lung')).toBeCloseTo(0.055, 12);
    expect(ask(net, {}).is('bronc')).toBeCloseTo(0.45, 12);
    expect(ask(net, { asia: true, dysp: true }).chance).toBeCloseTo(0.004501375, 12);
  });
});

describe('burglary (Russell and Norvig), the alarm as a fact with two facts below it', () => {
  const alarm = (alarmIfBurglaryAlone: number): Model => {
    const all = assignments(['burglary', 'earthquake']);
    const chance = ({ burglary, earthquake }: Assignment): number =>
      burglary === true ? (earthquake === true ? 0.95 : alarmIfBurglaryAlone) : earthquake === true ? 0.29 : 0.001;
    const rows = (of: (one: Assignment) => number): Record<string, readonly (readonly number[])[]> =>
      Object.fromEntries(all.map((one) => [idOf(one), [yesNo(of(one))]]));
    return model({
      causes: all.map((one) => cause(idOf(one))),
      facts: [
        fact('john', [yesNo(0.9), yesNo(0.05)], { parent: 'alarm' }),
        fact('alarm', [[0.5, 0.5]], { byCause: rows(chance) }),
        fact('mary', [yesNo(0.7), yesNo(0.01)], { parent: 'alarm' }),
        fact('burglary', [[0.5, 0.5]], { byCause: rows(({ burglary }) => (burglary === true ? 1 : 0)) }),
        fact('earthquake', [[0.5, 0.5]], { byCause: rows(({ earthquake }) => (earthquake === true ? 1 : 0)) }),
      ],
      symptoms: [symptom(Object.fromEntries(all.map((one) => [idOf(one), bernoulli(one['burglary'], 0.001) * bernoulli(one['earthquake'], 0.002)])))],
    });
  };
  const net = alarm(0.94);

  it('prints P(alarm), P(john) and P(mary) given a burglary as .94002, .849017, .6586138', () => {
    const answer = ask(net, { burglary: true });
    expect(answer.is('alarm')).toBeCloseTo(0.94002, 9);
    expect(answer.is('john')).toBeCloseTo(0.849017, 9);
    expect(answer.is('mary')).toBeCloseTo(0.6586138, 9);
  });

  it('finds .284 for a burglary when both call (recomputed .2841718354)', () => {
    const both = ask(net, { john: true, mary: true });
    expect(both.is('burglary')).toBeCloseTo(0.2841718354, 9);
    expect(both.chance).toBeCloseTo(0.002084100239, 11);
    expect(both.is('alarm')).toBeCloseTo(0.7606920389, 9);
    expect(both.is('earthquake')).toBeCloseTo(0.1760668384, 9);
  });

  it('explains away: a burglary given the alarm, with and without an earthquake', () => {
    expect(ask(net, { alarm: true }).is('burglary')).toBeCloseTo(0.3735512283, 9);
    expect(ask(net, { alarm: true, earthquake: true }).is('burglary')).toBeCloseTo(0.0032684236, 9);
    expect(ask(net, { john: true }).is('burglary')).toBeCloseTo(0.0162837299, 9);
    expect(ask(net, { mary: true }).is('burglary')).toBeCloseTo(0.056117454, 9);
  });

  it('has the marginal chances of the alarm and of both calls', () => {
    expect(ask(net, {}).is('alarm')).toBeCloseTo(0.002516442, 9);
    expect(ask(net, {}).is('john')).toBeCloseTo(0.0521389757, 9);
    expect(ask(net, {}).is('mary')).toBeCloseTo(0.011736345, 9);
  });

  it('prints .376 only with the first edition, where a burglary alone rings it with .95', () => {
    expect(ask(alarm(0.95), { alarm: true }).is('burglary')).toBeCloseTo(0.376, 4);
  });
});

describe('sprinkler', () => {
  const wet = (one: Assignment, rainAlone: number): number =>
    one['sprinkler'] === true ? (one['rain'] === true ? 0.99 : 0.9) : one['rain'] === true ? rainAlone : 0;

  it('of Murphy, clouds summed out: .430, .708 and .1945 given wet grass (from memory), recomputed to ten digits', () => {
    const net = asModel({
      names: ['sprinkler', 'rain'],
      joint: ({ sprinkler, rain }) =>
        0.5 * bernoulli(sprinkler, 0.1) * bernoulli(rain, 0.8) + 0.5 * bernoulli(sprinkler, 0.5) * bernoulli(rain, 0.2),
      findings: { wet: (one) => wet(one, 0.9) },
    });
    expect(ask(net, { wet: true }).chance).toBeCloseTo(0.6471, 10);
    expect(ask(net, { wet: true }).is('sprinkler')).toBeCloseTo(0.4297635606, 9);
    expect(ask(net, { wet: true }).is('rain')).toBeCloseTo(0.7079276773, 9);
    expect(ask(net, { wet: true, rain: true }).is('sprinkler')).toBeCloseTo(0.1944990177, 9);
  });

  it('with rain alone as the other cause: .16038 / .44838 given wet grass', () => {
    const net = asModel({
      names: ['sprinkler', 'rain'],
      joint: ({ sprinkler, rain }) => bernoulli(rain, 0.2) * bernoulli(sprinkler, given(rain, 0.01, 0.4)),
      findings: { wet: (one) => wet(one, 0.8) },
    });
    expect(ask(net, { wet: true }).chance).toBeCloseTo(0.44838, 10);
    expect(ask(net, { wet: true }).is('rain')).toBeCloseTo(0.3576876756, 9);
  });
});
