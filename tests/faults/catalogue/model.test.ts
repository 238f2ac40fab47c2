import { describe, expect, it } from 'vitest';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { CHECK_BARS } from '../../../src/faults/catalogue-check.ts';
import { modelFaults } from '../../../src/faults/check-model.ts';
import { modelFor, SOMETHING_ELSE } from '../../../src/faults/catalogue-model.ts';

const catalogue = readCatalogue('config/faults');
const models = CHECK_BARS.map((bar) => ({ bar, model: modelFor(catalogue, bar) }));

describe.each(models)('the model of one machine ($bar.kind)', ({ bar, model }) => {
  const causes = new Map(model.causes.map((cause) => [cause.id, cause]));

  it('is sound: every danger question can be asked at any time, and none sends hands to the machine', () => {
    expect(modelFaults(model)).toEqual([]);
  });

  it('has rows that sum to 1, one for each state of a parent', () => {
    const facts = new Map(model.facts.map((fact) => [fact.id, fact]));
    const wrong = model.facts.flatMap((fact) =>
      [fact.usual, ...Object.values(fact.byCause)].flatMap((rows) => {
        const wanted = fact.parent === null ? 1 : (facts.get(fact.parent)?.states.length ?? 0);
        const good = rows.length === wanted && rows.every((row) => row.length === fact.states.length && row.every((chance) => chance >= 0) && Math.abs(row.reduce((a, b) => a + b, 0) - 1) < 1e-9);
        return good ? [] : [fact.id];
      }),
    );
    expect(wrong).toEqual([]);
  });

  it('has answers whose chances sum to 1 in every state', () => {
    const wrong = model.questions.filter(({ answers }) => answers[0]!.given.some((_, state) => Math.abs(answers.reduce((sum, { given }) => sum + given[state]!, 0) - 1) > 1e-9));
    expect(wrong.map(({ id }) => id)).toEqual([]);
  });

  it('lets no staff job touch what is a technician\'s, another trade\'s or nobody\'s', () => {
    const wrong = model.jobs.flatMap((job) => Object.keys(job.cures).filter((id) => !['staff', 'trained'].includes(causes.get(id)?.fixer ?? '')).map((id) => `${job.id} ${id}`));
    expect(wrong).toEqual([]);
  });

  it('keeps 4 in 100 of every complaint for something else', () => {
    const shares = model.symptoms.map(({ causes: listed }) => listed.find(({ cause }) => cause === SOMETHING_ELSE)!.weight / listed.reduce((sum, { weight }) => sum + weight, 0));
    expect(Math.min(...shares)).toBeCloseTo(0.04);
    expect(Math.max(...shares)).toBeCloseTo(0.04);
  });

  it('asks nothing and does nothing that this machine does not have', () => {
    const questions = new Set(model.questions.map(({ id }) => id));
    const needy = [...catalogue.questions, ...catalogue.jobs].filter(({ needs }) => needs.some((trait) => !bar.has.has(trait) && trait !== 'screen-unknown' && trait !== 'no-exhaust'));
    expect(needy.filter(({ id }) => questions.has(id) || model.jobs.some((job) => job.id === id)).map(({ id }) => id)).toEqual([]);
  });
});

describe('what depends on the machine', () => {
  const cooler = modelFor(catalogue, CHECK_BARS[0]!);
  const lever = modelFor(catalogue, CHECK_BARS[3]!);
  const ids = (model: typeof lever): ReadonlySet<string> => new Set(model.jobs.map(({ id }) => id));

  it('no backflush on a lever or where nobody knows of an exhaust', () => {
    expect(ids(cooler).has('backflush-detergent')).toBe(true);
    expect(ids(lever).has('backflush-detergent')).toBe(false);
    expect(ids(modelFor(catalogue, { kind: 'hx', has: new Set() })).has('backflush-detergent')).toBe(false);
  });

  it('a seal job of its own when nobody has said how the screen is held', () => {
    expect(ids(modelFor(catalogue, { kind: 'hx', has: new Set() })).has('seal-any')).toBe(true);
    expect(ids(cooler).has('seal-any')).toBe(false);
    expect(ids(cooler).has('seal-screw')).toBe(true);
  });

  it('hot jobs are unsafe under every cause that can spray or shock', () => {
    const wipe = cooler.jobs.find(({ id }) => id === 'wipe-rim')!;
    for (const cause of ['over-pressure', 'water-at-electrics', 'valve-held-open', 'overheating-wires']) expect(wipe.unsafeUnder).toContain(cause);
  });

  it('no backflush while an exhaust may let nothing out', () => {
    expect(cooler.jobs.find(({ id }) => id === 'backflush-detergent')?.unsafeUnder).toContain('exhaust-shut');
  });
});
