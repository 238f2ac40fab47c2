import { describe, expect, it } from 'vitest';
import type { Model, Reading, Situation } from '../../../src/faults/model.ts';
import { next, verdict, type Verdict } from '../../../src/faults/verdict.ts';
import { fullSize } from './full-size.ts';
import { aCase, answer, cause, fact, job, model, plainQuestion, question, randomFrom, said, situation, symptom, tried } from './tiny.ts';

/** A drip at the rim: dirt (wiped hot), a worn seal (changed cold), a worn ramp (technician), coffee water (plumber), none. */
const suddenly = fact('suddenly', [[0.5, 0.5]], { byCause: { dirt: [[0.1, 0.9]], seal: [[0.9, 0.1]], ramp: [[0.9, 0.1]] } });
const others = fact('other taps', [[0.98, 0.02]], { byCause: { waste: [[0.02, 0.98]] } });
const rim = (weights: Readonly<Record<string, number>> = { dirt: 41, seal: 39, ramp: 15, waste: 2, normal: 3 }): Model =>
  model({
    causes: [
      cause('dirt', { fixer: 'staff', severity: 0.2, waste: 1 }),
      cause('seal', { fixer: 'staff', severity: 0.3, waste: 2 }),
      cause('ramp', { severity: 0.3, waste: 2 }),
      cause('waste', { fixer: 'other-trade', severity: 0.3, reach: 'machine' }),
      cause('normal', { fixer: 'nobody' }),
    ],
    facts: [suddenly, others],
    questions: [
      question('came', 'suddenly', [answer('slowly', [0.9, 0.1]), answer('at once', [0.1, 0.9])], { cost: 0.2 }),
      plainQuestion('sinks', others, { cost: 0.2 }),
    ],
    jobs: [
      job('wipe', { dirt: 0.9 }, { minutes: 4 }),
      job('change', { seal: 0.9 }, { minutes: 20, parts: 6, machine: 'cold' }),
    ],
    symptoms: [symptom(weights, ['came', 'sinks'])],
  });

const cafe = (over: Partial<Situation> = {}): Situation =>
  situation({
    trade: [{ startsIn: 0, minutes: 600, coffeesAnHour: 30 }, { startsIn: 1440, minutes: 600, coffeesAnHour: 30 }],
    coldSlots: [{ startsIn: 1380, minutes: 60 }],
    technicianIn: 1500,
    money: { callFee: 140, outOfHoursExtra: 60, otherTradeFee: 90, cancelFee: 15, staffAnHour: 15, margin: 2.5 },
    ...over,
  });

const end = (of: Model, readings: readonly Reading[] = [], at: Situation = cafe()): Verdict => verdict(of, at, aCase(readings));
const only = (id: string): Model => rim({ [id]: 1 });

describe('each kind of verdict', () => {
  it('bar job now: dirt is wiped', () => {
    const it_ = end(only('dirt'));
    expect(it_).toMatchObject({ kind: 'bar-job', choice: { meanwhile: 'go-on', ending: 'book', bookedFirst: false } });
    expect(it_.choice.steps[0]).toEqual({ jobs: ['wipe'], slot: null, meanwhile: 'go-on' });
    expect(it_.choice.cures).toBeCloseTo(0.9, 12);
  });

  it('leave the group out and change the seal before switching on', () => {
    expect(end(only('seal'))).toMatchObject({ kind: 'leave-group-out', choice: { steps: [{ jobs: ['change'], slot: 0, meanwhile: 'group-out' }] } });
  });

  it('nobody is sent to wipe what a wipe ends in 1 of 28 cases, though a wipe is cheap; in 1 of 11 it is tried', () => {
    const vain = end(rim({ dirt: 4, ramp: 96 }));
    const wipe = vain.options.find(({ kind }) => kind === 'bar-job')!;
    expect(wipe.cost).toBeLessThan(vain.choice.cost);
    expect(vain).toMatchObject({ kind: 'book', choice: { steps: [] } });
    expect(end(rim({ dirt: 10, ramp: 90 })).kind).toBe('bar-job');
  });

  it('book, other trade, nothing wrong', () => {
    expect(end(only('ramp')).kind).toBe('book');
    expect(end(only('waste')).kind).toBe('other-trade');
    expect(end(only('normal'))).toMatchObject({ kind: 'nothing-wrong', choice: { cost: 0 } });
  });

  it('book at once and try meanwhile, when waiting is dear and the visit far', () => {
    const busy = cafe({ trade: [{ startsIn: 0, minutes: 3000, coffeesAnHour: 130 }], technicianIn: 1500, money: { ...cafe().money, cancelFee: 0 } });
    const it_ = end(rim({ seal: 1, ramp: 1 }), [], busy);
    expect(it_).toMatchObject({ kind: 'book', choice: { bookedFirst: true, steps: [{ jobs: ['change'] }] } });
  });

  it('cold now: the seal before opening, at once', () => {
    const it_ = end(only('seal'), [], cafe({ machine: 'cold', coldSlots: [{ startsIn: 0, minutes: 45 }], trade: [{ startsIn: 60, minutes: 600, coffeesAnHour: 30 }] }));
    expect(it_).toMatchObject({ kind: 'bar-job', choice: { steps: [{ jobs: ['change'], slot: 0, meanwhile: 'go-on' }] } });
  });

  it('not with too little time before opening, nor what is barred, nor untrained, nor what was tried', () => {
    const steps = (of: Model, at: Situation, readings: readonly Reading[] = []): readonly string[] => end(of, readings, at).choice.steps.flatMap(({ jobs }) => jobs);
    expect(steps(only('seal'), cafe({ coldSlots: [{ startsIn: 0, minutes: 15 }], machine: 'cold' }))).toEqual([]);
    expect(steps(only('dirt'), cafe({ barredJobs: ['wipe'] }))).toEqual([]);
    expect(steps(only('dirt'), cafe(), [tried('wipe', 'same')])).toEqual([]);
    const shown: Model = { ...only('dirt'), jobs: only('dirt').jobs.map((it) => ({ ...it, training: true })) };
    expect(steps(shown, cafe({ trained: false }))).toEqual([]);
    expect(steps(shown, cafe({ trained: true }))).toEqual(['wipe']);
  });
});

describe('what stands in a verdict', () => {
  const it_ = end(rim(), [said('came', 'at once')]);

  it('likely causes, the likeliest first, summing to 1', () => {
    expect(it_.likely[0]!.cause).toBe('dirt');
    expect(it_.likely.reduce((sum, { chance }) => sum + chance, 0)).toBeCloseTo(1, 12);
    expect(it_.likely).toEqual([...it_.likely].sort((a, b) => b.chance - a.chance));
  });

  it('the reading that speaks for it, weighed by how far it moved the odds', () => {
    // Odds of dirt before: 41 to 59; after: times the ratio of the answer's chances.
    const others_ = (0.18 * 39 + 0.18 * 15 + 0.5 * 2 + 0.5 * 3) / 59;
    expect(it_.reasons).toEqual([{ reading: 0, weight: expect.closeTo(Math.log(0.82 / others_), 9) as number }]);
  });

  it('what every kind of option costs, cheapest first, each kind once', () => {
    const kinds = it_.options.map(({ kind }) => kind);
    expect(new Set(kinds).size).toBe(kinds.length);
    expect(kinds).toEqual(expect.arrayContaining(['bar-job', 'book', 'other-trade', 'nothing-wrong', 'leave-group-out']));
    expect(it_.options).toEqual([...it_.options].sort((a, b) => a.cost - b.cost));
    expect(it_.options[0]).toEqual(it_.choice);
  });

  it('no caution, nothing open, fits', () => {
    expect(it_).toMatchObject({ caution: { level: 0, because: [] }, open: [], misfit: { fits: true } });
  });
});

describe('the turning point', () => {
  it('is the fee at which the whole programme decides otherwise', () => {
    const of = rim({ seal: 3, ramp: 4 });
    const { kind, turning } = end(of, [], cafe({ money: { ...cafe().money, callFee: 30 } }));
    expect(turning).not.toBeNull();
    const at = (fee: number): string => end(of, [], cafe({ money: { ...cafe().money, callFee: fee } })).kind;
    expect(at(turning!.fee * 1.01)).not.toBe(at(turning!.fee * 0.99));
    expect([at(turning!.fee * 1.01), at(turning!.fee * 0.99)]).toContain(kind);
    expect([at(turning!.fee * 1.01), at(turning!.fee * 0.99)]).toContain(turning!.kind);
  });

  it('by hand: one job of 20 that helps one time in two turns at a fee of 40', () => {
    const of = model({
      causes: [cause('a', { fixer: 'staff' }), cause('b')],
      jobs: [job('try', { a: 1 }, { parts: 20 })],
      symptoms: [symptom({ a: 1, b: 1 })],
    });
    const { kind, turning } = verdict(of, situation({ money: { callFee: 100, staffAnHour: 0, margin: 0 } }), aCase());
    expect(kind).toBe('bar-job');
    expect(turning).toEqual({ fee: expect.closeTo(40, 1) as number, kind: 'book' });
  });

  it('is none where no fee changes anything, and none for a stop', () => {
    expect(end(only('normal')).turning).toBeNull();
    const danger = model({ causes: [cause('short', { danger: 'machine-off', harm: 'people' })], symptoms: [symptom({ short: 1 })] });
    expect(end(danger)).toMatchObject({ kind: 'stop', turning: null, choice: { meanwhile: 'machine-off', ending: 'book' } });
  });
});

describe('money a café has not set', () => {
  it('still decides, and says what is missing so that no amount is shown', () => {
    const it_ = end(rim(), [], cafe({ money: { callFee: 140 } }));
    expect(it_.money).toEqual({ known: false, missing: ['staffAnHour', 'margin'] });
    expect(it_.options.length).toBeGreaterThan(1);
    expect(end(rim()).money).toEqual({ known: true, missing: [] });
  });
});

describe('costs matter', () => {
  const turned = (of: Model, at: Situation, dearer: (money: Required<NonNullable<Situation['money']>>) => Situation['money']): boolean => {
    const money = cafe().money as Required<Situation['money']>;
    return end(of, [], at).kind !== end(of, [], { ...at, money: dearer(money) }).kind;
  };

  it('a fee, a rate or a margin ten times as high turns some verdict', () => {
    const mixes = [rim({ dirt: 1, ramp: 6 }), rim({ dirt: 1, ramp: 30 }), rim({ dirt: 1, ramp: 300 }), rim({ normal: 1, ramp: 1 }), rim({ normal: 3, ramp: 1 }), rim({ dirt: 1, ramp: 14 }), rim({ seal: 1, ramp: 4 }), rim({ seal: 2, ramp: 1 }), rim({ waste: 4, ramp: 3 })];
    const busy = cafe({ trade: [{ startsIn: 0, minutes: 3000, coffeesAnHour: 60 }], technicianIn: 120 });
    const places = [cafe(), busy];
    const any = (dearer: Parameters<typeof turned>[2]): boolean => mixes.some((of) => places.some((at) => turned(of, at, dearer)));
    expect(any((money) => ({ ...money, callFee: money.callFee * 10 }))).toBe(true);
    expect(any((money) => ({ ...money, otherTradeFee: money.otherTradeFee * 10 }))).toBe(true);
    expect(any((money) => ({ ...money, staffAnHour: money.staffAnHour * 10 }))).toBe(true);
    expect(any((money) => ({ ...money, margin: money.margin * 10 }))).toBe(true);
  });
});

describe('a case that looks like nothing known', () => {
  it('does not fit when everything named is surprised', () => {
    const facts = ['f0', 'f1', 'f2', 'f3'].map((id) => fact(id, [[0.97, 0.03]]));
    const of = model({
      causes: [cause('a'), cause('b'), cause('other', { other: true })],
      facts,
      questions: facts.map((it) => plainQuestion(`is ${it.id}`, it)),
      symptoms: [symptom({ a: 48, b: 48, other: 4 }, facts.map((it) => `is ${it.id}`))],
    });
    const odd = end(of, facts.map((it) => said(`is ${it.id}`, 's1')));
    expect(odd.likely[0]!.cause).toBe('other');
    expect(odd.misfit).toMatchObject({ fits: false });
    expect(end(of, facts.map((it) => said(`is ${it.id}`, 's0'))).misfit.fits).toBe(true);
  });

  it('does not fit when answers speak against each other', () => {
    const by = { a: [[0.02, 0.98]], b: [[0.98, 0.02]] };
    const facts = ['f0', 'f1'].map((id, i) => fact(id, [[0.5, 0.5]], { byCause: i === 0 ? by : { a: by.b, b: by.a } }));
    const of = model({
      causes: [cause('a'), cause('b')],
      facts,
      questions: facts.map((it) => plainQuestion(`is ${it.id}`, it)),
      symptoms: [symptom({ a: 1, b: 1 }, ['is f0', 'is f1'])],
    });
    expect(end(of, [said('is f0', 's1'), said('is f1', 's1')]).misfit.conflict).toBeGreaterThan(Math.log(4));
    expect(end(of, [said('is f0', 's1'), said('is f1', 's0')]).misfit.conflict).toBeLessThan(0);
  });
});

describe('the next thing', () => {
  it('asks, then decides as the verdict would', () => {
    const first = next(rim(), cafe(), aCase());
    expect(first.kind === 'ask' || first.kind === 'decide').toBe(true);
    const random = randomFrom(3);
    const { model: big, situation: at } = fullSize(2);
    for (const { id } of big.symptoms) {
      const readings: Reading[] = [];
      for (;;) {
        const it_ = next(big, at, aCase([...readings], { symptom: id }));
        if (it_.kind === 'decide') {
          expect(it_.verdict).toEqual(verdict(big, at, aCase([...readings], { symptom: id })));
          break;
        }
        const { answers, danger } = big.questions.find((q) => q.id === it_.question)!;
        readings.push(said(it_.question, (danger ? answers[0]! : answers[Math.floor(random() * answers.length)]!).id));
      }
    }
  });

  it('a verdict never changes with the order in which the model lists its causes', () => {
    const turned: Model = { ...rim(), causes: [...rim().causes].reverse(), symptoms: rim().symptoms.map((it) => ({ ...it, causes: [...it.causes].reverse() })) };
    const [a, b] = [end(rim()), end(turned)];
    expect(b.kind).toBe(a.kind);
    expect(b.choice.cost).toBeCloseTo(a.choice.cost, 9);
    expect(b.likely.map(({ cause: id }) => id)).toEqual(a.likely.map(({ cause: id }) => id));
  });
});
