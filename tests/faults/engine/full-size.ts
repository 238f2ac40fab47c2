/** A model as large as a whole catalogue, with invented numbers: 150 causes, 90 questions, 10 symptoms, 60 jobs. */
import type { Cause, Fact, Job, Model, Question, Situation } from '../../../src/faults/model.ts';
import { answer, cause, fact, job, model, question, randomFrom, situation, symptom } from './tiny.ts';

type Random = () => number;

const whole = (random: Random, low: number, high: number): number => low + Math.floor((high - low + 1) * random());
const pick = <T>(random: Random, all: readonly T[]): T => all[Math.floor(random() * all.length)]!;
const some = <T>(random: Random, all: readonly T[], count: number): readonly T[] =>
  [...all].map((it) => [random(), it] as const).sort((a, b) => a[0] - b[0]).slice(0, count).map(([, it]) => it);

const row = (random: Random, states: number): readonly number[] => {
  const raw = Array.from({ length: states }, () => random() ** 3 + 0.02);
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((x) => x / sum);
};

const FIXERS: readonly Cause['fixer'][] = ['staff', 'staff', 'technician', 'technician', 'other-trade', 'nobody'];

const DANGERS: readonly Pick<Cause, 'danger' | 'harm'>[] = [
  { danger: 'group-out', harm: 'people' },
  { danger: 'machine-off', harm: 'people' },
  { danger: 'machine-off', harm: 'machine' },
  { danger: 'leave-room', harm: 'people' },
];

const singleCause = (random: Random, id: string): Cause => {
  const dangerous = random() < 0.08;
  return cause(id, {
    fixer: dangerous ? 'technician' : pick(random, FIXERS),
    severity: random(),
    waste: random() < 0.4 ? 2 * random() : 0,
    reach: random() < 0.7 ? 'group' : 'machine',
    ...(dangerous ? pick(random, DANGERS) : {}),
    floor: dangerous ? 0.001 : 0,
  });
};

const bigFact = (random: Random, id: string, causes: readonly Cause[], parent: Fact | null): Fact => {
  const states = whole(random, 2, 4);
  const rows = (): readonly (readonly number[])[] =>
    Array.from({ length: parent?.states.length ?? 1 }, () => row(random, states));
  const own = some(random, causes, 40).map((it) => [it.id, rows()] as const);
  return fact(id, rows(), { parent: parent?.id ?? null, byCause: Object.fromEntries(own), idle: 0 });
};

const bigQuestion = (random: Random, id: string, of: Fact, danger: boolean): Question => {
  const right = 0.85 + 0.14 * random();
  const states = of.states.length;
  const answers = of.states.map((state, a) =>
    answer(state, of.states.map((_, s) => (s === a ? right : (1 - right) / (states - 1))), {
      danger: danger && a === states - 1 ? 'machine-off' : 'none',
    }),
  );
  return question(id, of.id, answers, { unsure: 0.05, minutes: 0.5, cost: 0.1 + random(), danger, handsOn: !danger && random() < 0.3 });
};

const bigJob = (random: Random, id: string, curable: readonly Cause[], all: readonly Cause[]): Job =>
  job(id, Object.fromEntries(some(random, curable, whole(random, 1, 3)).map(({ id: c }) => [c, 0.3 + 0.65 * random()])), {
    machine: pick(random, ['hot', 'hot', 'cold', 'any']),
    minutes: whole(random, 2, 30),
    parts: whole(random, 0, 12),
    handsOn: random() < 0.8,
    unsafeUnder: some(random, all, 2).map((it) => it.id),
    down: { reach: 'group', minutes: 10 },
  });

export type FullSize = { readonly model: Model; readonly situation: Situation };

const CAFE: Situation = situation({
  groups: 2,
  trade: [0, 1440, 2880].flatMap((day) => [
    { startsIn: day, minutes: 180, coffeesAnHour: 75 },
    { startsIn: day + 180, minutes: 300, coffeesAnHour: 35 },
  ]),
  coldSlots: [{ startsIn: 1380, minutes: 60 }, { startsIn: 2820, minutes: 60 }],
  technicianIn: 1700,
  money: { callFee: 120, outOfHoursExtra: 60, otherTradeFee: 90, cancelFee: 15, staffAnHour: 15, margin: 2.5 },
});

/** Each symptom: 23 causes, a pair, "something else"; 25 questions, one of them a danger; eight or more useful jobs. */
export const fullSize = (seed: number): FullSize => {
  const random = randomFrom(seed);
  const singles = Array.from({ length: 139 }, (_, c) => singleCause(random, `c${c}`));
  const facts: Fact[] = [];
  for (let f = 0; f < 60; f += 1) {
    facts.push(bigFact(random, `f${f}`, singles, f > 0 && random() < 0.3 ? facts[f - 1]! : null));
  }
  const questions = Array.from({ length: 90 }, (_, q) => bigQuestion(random, `q${q}`, pick(random, facts), q < 10));
  const groups = Array.from({ length: 10 }, () => some(random, singles, 23));
  const pairs = groups.map((group, g) => {
    const [a, b] = group.filter(({ danger }) => danger === 'none');
    return cause(`pair${g}`, { parts: [a!.id, b!.id], severity: 0.5 });
  });
  const other = cause('other', { other: true, severity: 0.4 });
  const jobs = groups.flatMap((group, g) => {
    const curable = group.filter(({ fixer }) => fixer === 'staff');
    return Array.from({ length: 6 }, (_, j) => bigJob(random, `j${g}-${j}`, curable, group));
  });
  const symptoms = groups.map((group, g) => {
    const weights = Object.fromEntries(
      group.map(({ id, danger }) => [id, danger === 'none' ? pick(random, [10, 3, 3, 0.7]) : 0.1]),
    );
    const asked = some(random, questions.slice(10), 24).map(({ id }) => id);
    return { ...symptom({ ...weights, [`pair${g}`]: 1, other: 4 }, [`q${g}`, ...asked]), id: `symptom${g}` };
  });
  return { model: model({ causes: [...singles, ...pairs, other], facts, questions, jobs, symptoms }), situation: CAFE };
};
