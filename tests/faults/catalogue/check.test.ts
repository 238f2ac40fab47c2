import { describe, expect, it } from 'vitest';
import { CHECK_BARS, countsOf, weaknesses } from '../../../src/faults/catalogue-check.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import type { Catalogue } from '../../../src/faults/catalogue.ts';
import type { CatalogueCause } from '../../../src/faults/catalogue-schema.ts';

const shipped = readCatalogue('config/faults');
const changed = (id: string, change: (cause: CatalogueCause) => CatalogueCause): Catalogue => ({ ...shipped, causes: shipped.causes.map((cause) => (cause.id === id ? change(cause) : cause)) });
/** One machine is enough to find what was planted. */
const found = (catalogue: Catalogue) => weaknesses(catalogue, CHECK_BARS.slice(0, 1)).map(({ kind, where, what }) => `${kind}: ${where}: ${what}`);

describe('the check of what the catalogue can tell', () => {
  it('finds nothing in the shipped catalogue', () => {
    expect(weaknesses(shipped)).toEqual([]);
  });

  it('covers the trade: 30 complaints, 150 causes, 90 questions, 44 jobs and more', () => {
    const counts = countsOf(shipped);
    expect(counts.symptoms).toBeGreaterThanOrEqual(30);
    expect(counts.causes).toBeGreaterThanOrEqual(150);
    expect(counts.questions).toBeGreaterThanOrEqual(90);
    expect(counts.jobs).toBeGreaterThanOrEqual(44);
    expect(counts.nothingWrong).toBeGreaterThan(5);
    expect(counts.otherTrades).toBeGreaterThan(5);
  });

  it('has causes in every area from the rim to people', () => {
    expect([...new Set(shipped.causes.map(({ area }) => area))].toSorted().join('')).toBe('ABCDEFGHIJKLMNOPQRSTUVW');
  });

  it('finds a cause that no question tells from its neighbour', () => {
    const worn = shipped.causes.find(({ id }) => id === 'exhaust-faulty')!;
    const twin: CatalogueCause = { ...worn, id: 'exhaust-twin', code: 'J40' };
    expect(found({ ...shipped, causes: [...shipped.causes, twin] })).toContain('alike: handle-spits: exhaust-faulty, exhaust-twin');
  });

  it('finds a cause that never comes first, even with its own answers', () => {
    expect(found(changed('coupling', (cause) => ({ ...cause, shows: { ...cause.shows, 'all-groups-slow': 0.01 }, facts: { 'pump-sound': { free: 0.4, hum: 0.35 }, 'house-water': { strong: 0.5 }, groups: { all: 0.5 } } })))).toContain('never-wins: all-groups-slow: coupling');
  });

  it('finds a cause of which nothing moves the chance', () => {
    expect(found(changed('weak-main', (cause) => ({ ...cause, facts: {} })))).toContain('nothing-moves: odd-pressure: weak-main');
  });

  it('finds an answer that never matters', () => {
    const question = { ...shipped.questions[0]!, id: 'colour-of-cups', fact: 'cups', answers: [{ id: 'white' }, { id: 'black' }] };
    const fact = { id: 'cups', states: ['white', 'black'], usual: [0.5, 0.5] };
    const symptoms = shipped.symptoms.map((symptom) => (symptom.id === 'noise' ? { ...symptom, questions: [...symptom.questions, 'colour-of-cups'] } : symptom));
    const idle = found({ ...shipped, symptoms, questions: [...shipped.questions, question], facts: [...shipped.facts, fact] });
    expect(idle).toContain('answer-idle: colour-of-cups: white');
    expect(idle).toContain('answer-idle: colour-of-cups: black');
  });

  it('finds a hot job that would be offered beside a safety valve that blows', () => {
    const jobs = shipped.jobs.map((job) => (job.id === 'wipe-rim' ? { ...job, bars: job.bars.filter((hazard) => hazard !== 'boiler-over') } : job));
    expect(found({ ...shipped, jobs })).toContain('job-rule: wipe-rim: boiler-over');
  });

  it('finds a cure that is unsafe under the very cause it cures', () => {
    expect(found(changed('rim-dirty', (cause) => ({ ...cause, hazards: ['electric'] })))).toContain('job-rule: wipe-rim: rim-dirty');
  });

  it('finds a cause that no machine can have', () => {
    expect(found(changed('tank-empty', (cause) => ({ ...cause, needs: ['tank', 'mains'] })))).toContain('never-ends: all-groups-slow: tank-empty');
  });

  it('finds a danger question that would come first under a complaint without need', () => {
    const symptoms = shipped.symptoms.map((symptom) => (symptom.id === 'hard-water' ? { ...symptom, questions: [...symptom.questions, 'burning'] } : symptom));
    expect(found({ ...shipped, symptoms })).toContain('danger-elsewhere: hard-water: burning');
  });
});
