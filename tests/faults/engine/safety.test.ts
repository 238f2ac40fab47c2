import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { believe, chances } from '../../../src/faults/belief.ts';
import { bench } from '../../../src/faults/bench.ts';
import { at, compile } from '../../../src/faults/compiled.ts';
import type { Case, Cause, Model, Reading, Situation } from '../../../src/faults/model.ts';
import { nextMove, optionsNow } from '../../../src/faults/next-question.ts';
import { RISK } from '../../../src/faults/safety.ts';
import { next as theNext, verdict } from '../../../src/faults/verdict.ts';
import { fullSize } from './full-size.ts';
import { aCase, answer, cause, fact, job, model, plainQuestion, question, randomFrom, said, situation, symptom, unsure } from './tiny.ts';

const FULL = [1, 2, 3].map(fullSize);

/** A case of a big random model with some random answers; dangers are answered, denied, unknown or not yet asked. */
type Given = { readonly model: Model; readonly situation: Situation; readonly case: Case };

const given = (size: number, s: number, seed: number): Given => {
  const { model: of, situation: at_ } = FULL[size]!;
  const random = randomFrom(seed);
  const it = of.symptoms[s]!;
  const readings = it.questions.flatMap((id): readonly Reading[] => {
    const { answers, danger } = of.questions.find((q) => q.id === id)!;
    const draw = random();
    if (draw > (danger ? 0.8 : 0.3)) return [];
    if (draw < 0.05) return [unsure(id)];
    const harmless = answers.filter((a) => a.danger === 'none');
    return [said(id, (danger && random() < 0.8 ? harmless[0]! : answers[Math.floor(random() * answers.length)]!).id)];
  });
  return { model: of, situation: at_, case: aCase(readings, { symptom: it.id }) };
};

const cases = fc.tuple(fc.nat(2), fc.nat(9), fc.nat(100_000)).map(([size, s, seed]) => given(size, s, seed));
const check = (hazard: (it: Given) => void, numRuns = 300): void => {
  fc.assert(fc.property(cases, hazard), { seed: 20260729, numRuns });
};

/** Chance of causes, summed anew from the rules as they are meant. */
const risk = ({ model: of, case: c }: Given, dangers: readonly Cause['danger'][], harms: readonly Cause['harm'][]): number => {
  const compiled = compile(of, c.symptom);
  const chance = chances(believe(compiled, c));
  return compiled.causes.reduce((sum, it, i) => (dangers.includes(it.danger) && harms.includes(it.harm) ? sum + at(chance, i) : sum), 0);
};

const OFF = ['machine-off', 'leave-room'] as const;
const ANY = ['group-out', ...OFF] as const;

const tooLikely = (it: Given, dangers: readonly Cause['danger'][]): boolean =>
  risk(it, dangers, ['people']) > RISK.people ||
  risk(it, dangers, ['people', 'machine']) > RISK.machine ||
  risk(it, dangers, ['people', 'machine', 'nothing']) > RISK.any;

const dangerAnswered = ({ model: of, case: { readings } }: Given): boolean =>
  readings.some((it) => it.kind === 'answer' && of.questions.find(({ id }) => id === it.question)!.answers.find(({ id }) => id === it.answer)!.danger !== 'none');

const offered = (it: Given): readonly string[] =>
  optionsNow(bench(it.model, it.situation, it.case)).flatMap(({ steps }) => steps.flatMap(({ jobs }) => jobs));

describe('rules above costs, on random cases of large random models', () => {
  it('limits: 1 % for people, fire and pressure, 5 % for the machine, 1 % for a job', () => {
    expect(RISK).toMatchObject({ people: 0.01, machine: 0.05, unsafe: 0.01 });
  });

  it('a danger answer stops: no job, no question, the machine off', () => {
    let seen = 0;
    check((it) => {
      if (!dangerAnswered(it)) return;
      seen += 1;
      expect(nextMove(bench(it.model, it.situation, it.case)).kind).toBe('act');
      const end = verdict(it.model, it.situation, it.case);
      expect(end.kind).toBe('stop');
      expect(['machine-off', 'leave-room']).toContain(end.choice.meanwhile);
      expect(offered(it)).toEqual([]);
    });
    expect(seen).toBeGreaterThan(10);
  });

  it('so does a danger that is too likely, whatever it costs', () => {
    let seen = 0;
    check((it) => {
      if (!tooLikely(it, OFF)) return;
      seen += 1;
      const free: Given = { ...it, situation: { ...it.situation, money: { callFee: 1e6, otherTradeFee: 1e6, staffAnHour: 0.01, margin: 100 } } };
      const end = verdict(free.model, free.situation, free.case);
      expect(end.kind).toBe('stop');
      expect(offered(free)).toEqual([]);
    }, 1500);
    expect(seen).toBeGreaterThan(10);
  });

  it('and only then: without danger answer or likely danger nothing stops', () => {
    let seen = 0;
    check((it) => {
      if (dangerAnswered(it) || tooLikely(it, OFF)) return;
      seen += 1;
      expect(verdict(it.model, it.situation, it.case).kind).not.toBe('stop');
    }, 40);
    expect(seen).toBeGreaterThan(10);
  });

  it('a group that may hurt someone is out of use until it is mended', () => {
    let seen = 0;
    check((it) => {
      if (!tooLikely(it, ANY)) return;
      seen += 1;
      const options = optionsNow(bench(it.model, it.situation, it.case));
      expect(options.flatMap(({ steps, end }) => [end, ...steps].map(({ meanwhile }) => meanwhile))).not.toContain('go-on');
    }, 1500);
    expect(seen).toBeGreaterThan(10);
  });

  it('no hands-on job and no hands-on question while a danger stands open, "don\'t know" included', () => {
    let seen = 0;
    check((it) => {
      const laid = bench(it.model, it.situation, it.case);
      if (laid.open.length === 0) return;
      seen += 1;
      const jobs = it.model.jobs.filter(({ id }) => offered(it).includes(id));
      expect(jobs.filter(({ handsOn }) => handsOn)).toEqual([]);
      const next = nextMove(laid);
      if (next.kind === 'ask') expect(it.model.questions.find(({ id }) => id === next.question)!.handsOn && next.because === 'saving').toBe(false);
    }, 120);
    expect(seen).toBeGreaterThan(10);
  });

  it('a job is offered only while the causes that make it unsafe sum to at most 1 %', () => {
    let [offers, refusals] = [0, 0];
    check((it) => {
      const compiled = compile(it.model, it.case.symptom);
      const chance = chances(believe(compiled, it.case));
      const jobs = offered(it);
      for (const { id, unsafeUnder } of it.model.jobs) {
        const unsafe = compiled.causes.reduce((sum, of, c) => ([of.id, ...of.parts].some((p) => unsafeUnder.includes(p)) ? sum + at(chance, c) : sum), 0);
        if (jobs.includes(id)) offers += 1;
        else if (unsafe > RISK.unsafe) refusals += 1;
        if (jobs.includes(id)) expect(unsafe).toBeLessThanOrEqual(RISK.unsafe + 1e-12);
      }
    });
    expect(offers).toBeGreaterThan(10);
    expect(refusals).toBeGreaterThan(10);
  });

  it('danger questions come before every other', () => {
    let seen = 0;
    check((it) => {
      const laid = bench(it.model, it.situation, it.case);
      const next = nextMove(laid);
      const waiting = laid.open.filter((q) => laid.askable.includes(q));
      if (waiting.length === 0 || next.kind !== 'ask') return;
      seen += 1;
      expect(next.because).toBe('danger');
    });
    expect(seen).toBeGreaterThan(10);
  });
});

describe('dangers in small', () => {
  const smell = fact('smell', [[0.99, 0.01]], { byCause: { short: [[0.1, 0.9]] } });
  const side = fact('side', [[0.5, 0.5]], { byCause: { dirt: [[0.9, 0.1]], short: [[0.4, 0.6]] } });
  const ask = question('burning', 'smell', [answer('no', [0.98, 0.02]), answer('yes', [0.02, 0.98], { danger: 'machine-off' })], { danger: true });
  const build = (over: { readonly weight?: number; readonly immediate?: 'none' | 'leave-room'; readonly harm?: Cause['harm'] } = {}): Model =>
    model({
      causes: [cause('dirt', { fixer: 'staff' }), cause('short', { danger: 'machine-off', harm: over.harm ?? 'people' })],
      facts: [smell, side],
      questions: [ask, plainQuestion('which side', side, { cost: 0.1 })],
      jobs: [job('wipe', { dirt: 0.9 }, { parts: 1, handsOn: true }), job('look', { dirt: 0.3 }, { parts: 1 })],
      symptoms: [symptom({ dirt: 100, short: over.weight ?? 0.5 }, ['which side', 'burning'], { immediate: over.immediate ?? 'none' })],
    });
  const end = (of: Model, readings: readonly Reading[] = []): ReturnType<typeof verdict> => verdict(of, situation(), aCase(readings));
  const next = (of: Model, readings: readonly Reading[] = []): ReturnType<typeof nextMove> => nextMove(bench(of, situation(), aCase(readings)));

  it('is asked although the question listed before it would save more', () => {
    expect(next(build())).toMatchObject({ kind: 'ask', question: 'burning', because: 'danger' });
  });

  it('denied, the job is offered; unknown, only the one without hands', () => {
    expect(end(build(), [said('burning', 'no')]).choice.steps[0]!.jobs).toEqual(['wipe']);
    const open = end(build(), [unsure('burning')]);
    expect(open.open).toEqual(['burning']);
    expect(open.options.flatMap(({ steps }) => steps.flatMap(({ jobs }) => jobs))).not.toContain('wipe');
  });

  it('unknown, a question that needs hands is not asked, one that needs only eyes is', () => {
    const handed = (handsOn: boolean): Model => {
      const of = build();
      const questions = of.questions.map((it) => (it.id === 'which side' ? { ...it, handsOn } : it));
      const jobs = [job('look', { dirt: 0.95 }, { parts: 60 })];
      return { ...of, questions, jobs, symptoms: [{ ...of.symptoms[0]!, causes: [{ cause: 'dirt', weight: 100 }, { cause: 'other', weight: 100 }] }], causes: [...of.causes, cause('other')], facts: [smell, fact('side', [[0.1, 0.9]], { byCause: { dirt: [[0.9, 0.1]] } })] };
    };
    expect(next(handed(false), [unsure('burning')])).toMatchObject({ kind: 'ask', question: 'which side' });
    expect(next(handed(true), [unsure('burning')]).kind).toBe('act');
    expect(next(handed(true), [said('burning', 'no')])).toMatchObject({ kind: 'ask', question: 'which side' });
  });

  it('denied first and unknown later, it is open again; confirmed once, nothing said later takes it back', () => {
    expect(end(build(), [said('burning', 'no'), unsure('burning')]).open).toEqual(['burning']);
    expect(end(build(), [said('burning', 'yes'), said('burning', 'no')]).kind).toBe('stop');
    expect(end(build(), [said('burning', 'yes'), unsure('burning')]).kind).toBe('stop');
  });

  it('above 1 % it stops although it was denied; what can only break the machine stops above 5 %, and what hurts nothing once it is likelier than not', () => {
    const denied = said('burning', 'no');
    expect(end(build({ weight: 20 }), [denied])).toMatchObject({ kind: 'stop', caution: { level: 2 } });
    expect(end(build({ weight: 20, harm: 'machine' }), [denied]).kind).toBe('bar-job');
    expect(end(build({ weight: 60, harm: 'machine' }), [denied]).kind).toBe('stop');
    expect(end(build({ weight: 60, harm: 'nothing' }), [denied]).kind).toBe('bar-job');
    expect(end(build({ weight: 2000, harm: 'nothing' }), [denied]).kind).toBe('stop');
  });

  it('a likely danger is not asked about first: the steps come before any question', () => {
    expect(next(build({ weight: 30 })).kind).toBe('act');
    expect(next(build({ weight: 15 }))).toMatchObject({ kind: 'ask', question: 'burning' });
  });

  it('a chance just above 1 % is looked into before it stops, not with hands; after any danger told nothing more is asked', () => {
    const glow = fact('glow', [[0.999, 0.001]], { byCause: { short: [[0.01, 0.99]] } });
    const looked = (handsOn = false): Model => {
      const of = build({ weight: 20 });
      const puddle = fact('puddle', [[0.5, 0.5]]);
      const wet = question('wet', 'puddle', [answer('dry', [1, 0]), answer('wet', [0, 1], { danger: 'group-out' })], { danger: true });
      const questions = [...of.questions, wet, { ...plainQuestion('glow', glow, { cost: 0 }), handsOn }];
      return { ...of, facts: [...of.facts, glow, puddle], questions, symptoms: [{ ...of.symptoms[0]!, questions: ['burning', 'wet', 'glow'] }] };
    };
    const denied = [said('burning', 'no'), said('wet', 'dry')];
    expect(verdict(looked(), situation(), aCase(denied))).toMatchObject({ kind: 'stop', caution: { level: 2 } });
    expect(next(looked(), denied)).toMatchObject({ kind: 'ask', question: 'glow', because: 'saving' });
    const [clear] = looked().questions.find(({ id }) => id === 'glow')!.answers;
    expect(end(looked(), [...denied, said('glow', clear!.id)]).kind).toBe('bar-job');
    expect(next(looked(true), denied).kind).toBe('act');
    expect(next(looked(), [said('burning', 'no'), said('wet', 'wet')]).kind).toBe('act');
    expect(next(looked(), [said('wet', 'wet'), ...denied]).kind).toBe('act');
  });

  it('a danger nobody saw and that is not likely is asked about before the machine is stopped for it, with eyes alone', () => {
    const soot = fact('soot', [[0.99, 0.01]], { byCause: { short: [[0.05, 0.95]] } });
    const withSoot = (over: Parameters<typeof plainQuestion>[2] = {}): Model => {
      const of = build({ weight: 20 });
      return { ...of, facts: [...of.facts, soot], questions: [...of.questions, plainQuestion('soot', soot, { cost: 0, ...over })], symptoms: [{ ...of.symptoms[0]!, questions: [...of.symptoms[0]!.questions, 'soot'] }] };
    };
    const denied = said('burning', 'no');
    const [clean = '', black = ''] = soot.states;
    expect(next(withSoot(), [denied])).toMatchObject({ kind: 'ask', question: 'soot', because: 'saving' });
    expect(theNext(withSoot(), situation(), aCase([denied]))).toMatchObject({ kind: 'ask', hold: true });
    expect(end(withSoot(), [denied, said('soot', clean)]).kind).toBe('bar-job');
    expect(end(withSoot(), [denied, said('soot', black)]).kind).toBe('stop');
    expect(end(withSoot(), [denied, unsure('soot')]).kind).toBe('stop');
    // Nothing that needs hands or a brewed drink is asked while it stands.
    expect(next(withSoot({ handsOn: true }), [denied]).kind).toBe('act');
    expect(next(withSoot({ cost: 0.2 }), [denied]).kind).toBe('act');
  });

  it('a complaint that is a danger in itself is never questioned', () => {
    expect(next(build({ immediate: 'leave-room' })).kind).toBe('act');
    expect(end(build({ immediate: 'leave-room' }))).toMatchObject({ kind: 'stop', choice: { meanwhile: 'leave-room' }, caution: { because: [{ kind: 'symptom' }] } });
  });

  it('a record does not settle a danger', () => {
    expect(next(build(), [{ kind: 'record', fact: 'smell', likelihood: [1, 0] }])).toMatchObject({ question: 'burning' });
  });

  it('a question that may bring a danger to light is asked, though a stop costs more than the job', () => {
    const hidden = fact('hum', [[0.999, 0.001]], { byCause: { short: [[0.5, 0.5]] } });
    const of = build({ weight: 0.9 });
    const heard: Model = {
      ...of,
      facts: [...of.facts, hidden],
      questions: [...of.questions, plainQuestion('hum', hidden, { cost: 0.2 })],
      symptoms: [{ ...of.symptoms[0]!, causes: [{ cause: 'dirt', weight: 100 }, { cause: 'short', weight: 0.9 }], questions: ['hum'] }],
    };
    expect(next(heard)).toMatchObject({ kind: 'ask', question: 'hum' });
    // Also at noon, when a machine that stands loses more than any call costs.
    const noon = situation({ trade: [{ startsIn: 0, minutes: 600, coffeesAnHour: 900 }], money: { callFee: 100, staffAnHour: 0, margin: 5 } });
    expect(nextMove(bench(heard, noon, aCase()))).toMatchObject({ kind: 'ask', question: 'hum' });
  });

  it('a job that is unsafe with a pair\'s part is unsafe with the pair', () => {
    const of = model({
      causes: [cause('dirt', { fixer: 'staff' }), cause('jam'), cause('both', { parts: ['dirt', 'jam'] })],
      jobs: [job('wipe', { dirt: 0.9 }, { unsafeUnder: ['jam'] })],
      symptoms: [symptom({ dirt: 97, both: 3 })],
    });
    expect(end(of).options.flatMap(({ steps }) => steps)).toEqual([]);
  });
});
