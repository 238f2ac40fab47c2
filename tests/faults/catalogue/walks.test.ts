import { describe, expect, it } from 'vitest';
import { CHECK_BARS } from '../../../src/faults/catalogue-check.ts';
import { modelFor } from '../../../src/faults/catalogue-model.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { planWalks, reportOf, seeded, walk } from '../../../src/faults/catalogue-walk.ts';
import type { Model, Situation } from '../../../src/faults/model.ts';

const SEED = 20261125;
const WALKS = 200;
const catalogue = readCatalogue('config/faults');
const models = CHECK_BARS.map((bar) => modelFor(catalogue, bar));

describe(`${WALKS} random ways through the catalogue (seed ${SEED}; 5,000 by tools/walk-catalogue.mjs)`, () => {
  const report = reportOf(planWalks(models, WALKS, SEED));

  it('never sends staff to what is a technician\'s', () => {
    expect(report.breaches.filter(({ rule }) => rule === 'not-staff')).toEqual([]);
  });

  it('never offers a job whose dangerous causes together pass 1 in 100', () => {
    expect(report.breaches.filter(({ rule }) => rule === 'unsafe')).toEqual([]);
  });

  it('never offers hands-on work while a question of danger is open', () => {
    expect(report.breaches.filter(({ rule }) => rule === 'danger-open')).toEqual([]);
  });

  it('heeds every danger that was told of at once', () => {
    expect(report.breaches.filter(({ rule }) => rule === 'danger-missed')).toEqual([]);
  });

  it('always ends, and asks nothing twice', () => {
    expect(report.breaches.filter(({ rule }) => rule === 'dead-end' || rule === 'asked-twice')).toEqual([]);
  });

  it('asks few questions: half of the walks at most 6, none more than 30', () => {
    expect(report.medianQuestions).toBeLessThanOrEqual(6);
    expect(report.mostQuestions).toBeLessThanOrEqual(30);
  });

  it('reaches every kind of end', () => {
    expect(Object.keys(report.ends).toSorted()).toEqual(['book', 'cured', 'nothing-wrong', 'other-trade', 'stop']);
  });
});

describe('the walk itself', () => {
  const situation: Situation = { groups: 2, capacity: 45, trade: [], machine: 'hot', coldSlots: [], technicianIn: 1440, otherTradeIn: 480, outOfHours: false, money: {}, trained: true, barredJobs: [] };
  const finds = (model: Model): readonly string[] =>
    Array.from({ length: 30 }, (_, index) => walk(model, situation, 'leak-at-rim', seeded(index), { unsure: 0, anything: 0 })).flatMap(({ breaches }) => breaches.map(({ rule }) => rule));

  it('notices a staff job that is said to cure a technician\'s cause', () => {
    const model = models[0]!;
    const jobs = model.jobs.map((job) => (job.id === 'wipe-rim' ? { ...job, cures: { ...job.cures, 'brew-pressure-high': 0.9 } } : job));
    expect(finds({ ...model, jobs })).toContain('not-staff');
  });

  it('is the same for the same seed', () => {
    expect(planWalks(models, 6, 7)).toEqual(planWalks(models, 6, 7));
  });
});
