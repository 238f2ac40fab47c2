/** Small random problems of four families, for comparing the engine with the exact programme. */
import type { Cause, Fact, Job, Model, Question, Situation } from '../../../src/faults/model.ts';
import { answer, cause, fact, job, model, question, randomFrom, situation, symptom } from './tiny.ts';

export type Family = 'plain' | 'shared facts' | 'cold jobs' | 'pairs';
export const FAMILIES: readonly Family[] = ['plain', 'shared facts', 'cold jobs', 'pairs'];

export type Problem = { readonly family: Family; readonly seed: number; readonly model: Model; readonly situation: Situation };

type Random = () => number;

const between = (random: Random, low: number, high: number): number => low + (high - low) * random();
const whole = (random: Random, low: number, high: number): number => Math.floor(between(random, low, high + 1));

/** Chances that are often lopsided, as the observations of a trade are. */
const row = (random: Random, states: number): readonly number[] => {
  const raw = Array.from({ length: states }, () => random() ** 3 + 0.02);
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((x) => x / sum);
};

const randomFact = (random: Random, id: string, states: number, causes: readonly Cause[], parent: Fact | null): Fact => {
  const rows = (): readonly (readonly number[])[] =>
    Array.from({ length: parent === null ? 1 : parent.states.length }, () => row(random, states));
  const own = causes.filter(({ parts, other }) => parts.length === 0 && !other);
  return fact(id, rows(), {
    parent: parent?.id ?? null,
    byCause: Object.fromEntries(own.map(({ id: c }) => [c, rows()])),
    idle: random() < 0.5 ? 0 : null,
  });
};

const randomQuestion = (random: Random, id: string, of: Fact): Question => {
  const right = between(random, 0.75, 1);
  const states = of.states.length;
  const given = (a: number): readonly number[] =>
    of.states.map((_, s) => (a === s ? right : (1 - right) / (states - 1)));
  return question(id, of.id, of.states.map((state, a) => answer(state, given(a))), {
    unsure: 0.05,
    cost: between(random, 0.5, 6),
  });
};

const randomJob = (random: Random, id: string, causes: readonly Cause[], machine: Job['machine']): Job => {
  const curable = causes.filter(({ fixer, parts, other }) => fixer === 'staff' && parts.length === 0 && !other);
  const first = curable[whole(random, 0, curable.length - 1)];
  const cures = curable.filter((it) => it === first || random() < 0.3).map(({ id: c }) => [c, between(random, 0.3, 0.98)]);
  return job(id, Object.fromEntries(cures) as Record<string, number>, {
    machine,
    parts: between(random, 2, 40),
    minutes: whole(random, 5, 30),
  });
};

const weights = (random: Random, ids: readonly string[]): Readonly<Record<string, number>> =>
  Object.fromEntries(ids.map((id) => [id, [10, 3, 0.7][whole(random, 0, 2)]! * between(random, 0.5, 1.5)]));

const someCauses = (random: Random, count: number, rare: readonly Cause['fixer'][]): readonly Cause[] =>
  Array.from({ length: count }, (_, c) =>
    cause(`c${c}`, {
      fixer: c < 2 || random() < 0.5 ? 'staff' : (rare[whole(random, 0, rare.length - 1)] ?? 'technician'),
      severity: between(random, 0, 1),
    }),
  );

const pairsOf = (random: Random, causes: readonly Cause[]): readonly Cause[] =>
  [cause('c0+c1', { parts: ['c0', 'c1'], fixer: 'staff' })].concat(
    causes.length > 3 && random() < 0.5 ? [cause('c0+c2', { parts: ['c0', 'c2'], fixer: causes[2]?.fixer ?? 'staff' })] : [],
  );

const money = (random: Random): Situation['money'] => ({
  callFee: between(random, 40, 250),
  outOfHoursExtra: 0,
  otherTradeFee: between(random, 40, 200),
  cancelFee: 0,
  staffAnHour: 0,
  margin: 2,
});

type Shape = {
  readonly fixers: readonly Cause['fixer'][];
  readonly facts: number;
  readonly questions: number;
  readonly chained: boolean;
  readonly pairs: boolean;
  readonly cold: boolean;
};

const SHAPES: Readonly<Record<Family, Shape>> = {
  plain: { fixers: ['technician'], facts: 4, questions: 4, chained: false, pairs: false, cold: false },
  'shared facts': { fixers: ['technician', 'nobody'], facts: 2, questions: 4, chained: true, pairs: false, cold: false },
  'cold jobs': { fixers: ['technician', 'other-trade', 'nobody'], facts: 3, questions: 3, chained: false, pairs: false, cold: true },
  pairs: { fixers: ['technician'], facts: 3, questions: 3, chained: true, pairs: true, cold: false },
};

const randomFacts = (random: Random, shape: Shape, causes: readonly Cause[]): readonly Fact[] => {
  const facts: Fact[] = [];
  for (let f = 0; f < shape.facts; f += 1) {
    const parent = shape.chained && f > 0 && random() < 0.6 ? (facts[f - 1] ?? null) : null;
    facts.push(randomFact(random, `f${f}`, !shape.pairs && random() < 0.3 ? 3 : 2, causes, parent));
  }
  return facts;
};

/** Opening time for two days with a quiet and a busy stretch, and a cold slot before each opening. */
const coldCafe = (random: Random): Partial<Situation> => ({
  groups: whole(random, 1, 2),
  trade: [0, 1440].flatMap((day) => [
    { startsIn: day, minutes: 240, coffeesAnHour: whole(random, 20, 70) },
    { startsIn: day + 240, minutes: 300, coffeesAnHour: whole(random, 5, 40) },
  ]),
  coldSlots: [
    { startsIn: 1300, minutes: whole(random, 30, 90) },
    { startsIn: 2740, minutes: 60 },
  ],
  technicianIn: whole(random, 60, 900),
});

export const problem = (family: Family, seed: number): Problem => {
  const random = randomFrom(seed * 7919 + FAMILIES.indexOf(family));
  const shape = SHAPES[family];
  const singles = someCauses(random, whole(random, 3, 5), shape.fixers);
  const pairs = shape.pairs ? pairsOf(random, singles) : [];
  const other = shape.pairs ? [cause('other', { other: true })] : [];
  const causes = [...singles, ...pairs, ...other];
  const facts = randomFacts(random, shape, causes);
  const questions = Array.from({ length: shape.questions }, (_, q) =>
    randomQuestion(random, `q${q}`, facts[q % facts.length]!),
  );
  const jobs = Array.from({ length: shape.pairs ? 2 : whole(random, 2, 3) }, (_, j) =>
    randomJob(random, `j${j}`, causes, shape.cold && j > 0 ? 'cold' : 'hot'),
  );
  const ids = questions.map(({ id }) => id);
  const weighted = { ...weights(random, causes.map(({ id }) => id)), ...(shape.pairs ? { other: 0.7 } : {}) };
  return {
    family,
    seed,
    model: model({ causes, facts, questions, jobs, symptoms: [symptom(weighted, ids)] }),
    situation: situation({ money: money(random), ...(shape.cold ? coldCafe(random) : {}) }),
  };
};
