import { describe, expect, it } from 'vitest';
import { learnedPrior } from '../../src/seals/fleet.ts';
import { assumedPrior, daysLeft, forecastLives, type LifePrior } from '../../src/seals/life.ts';
import { assumed } from './assumed.ts';
import { bestInterval, drawTrueGroups, fixedCost, servedCost } from './cost-simulation.ts';
import { calibrate, medianOf, pooled, shareOf, type Calibration } from './life-calibration.ts';
import { assumedFleet, drawCafes, drawMet, lognormalFleet, weibullFleet, type Fleet } from './life-simulation.ts';
import { seeded } from './random.ts';
import { percent, table, writeResult } from './result-file.ts';

const SEED = 501;
const FLEETS = 240;
const CAFES = 10;
const prior = assumedPrior(assumed.life);

const average = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;

/** Brier score of "failed within four weeks", and that of saying the overall share every time. */
const scores = ({ monthSaid, monthFailed }: Calibration): readonly [number, number] => {
  const share = shareOf(monthFailed);
  const score = (said: (i: number) => number): number =>
    average(monthFailed.map((failed, i) => ((failed ? 1 : 0) - said(i)) ** 2));
  return [score((i) => monthSaid[i] as number), score(() => share)];
};

const calibrationRow = (name: string | number, all: Calibration): readonly (string | number)[] => {
  const [score, plain] = scores(all);
  return [
    name,
    percent(shareOf(all.nextHeld)),
    medianOf(all.nextRatio).toFixed(2),
    percent(shareOf(all.leftHeld)),
    percent(average(all.monthSaid)),
    percent(shareOf(all.monthFailed)),
    score.toFixed(3),
    plain.toFixed(3),
  ];
};

const calibrationHead = ['earlier seals', 'next life held', 'ratio of ends', 'in service held', 'said to fail in 28 days', 'did', 'score', 'score of the average'];

const fleetSpread = (fleets: readonly Calibration[]): string => {
  const shares = fleets.map((one) => shareOf(one.nextHeld)).toSorted((a, b) => a - b);
  const at = (share: number): number => shares[Math.floor(share * (shares.length - 1))] as number;
  return `${percent(at(0.05))} to ${percent(at(0.95))}`;
};

type CostRow = { readonly ratio: number; readonly served: number; readonly best: number; readonly quarter: number; readonly halfYear: number; readonly failure: number };

const COST_CAFES = 60;

const costRow = (ratio: number): CostRow => {
  const random = seeded(SEED + ratio);
  const costs = { planned: 1, failed: ratio };
  const sum = { served: 0, best: 0, quarter: 0, halfYear: 0, failure: 0 };
  for (let i = 0; i < COST_CAFES; i++) {
    const fleet = assumedFleet(assumed, random);
    const groups = drawTrueGroups(fleet, 2, assumed, random);
    sum.served += servedCost(groups, prior, costs, assumed, random).reduce((a, b) => a + b, 0);
    for (const group of groups) {
      sum.best += fixedCost(group, bestInterval(group, fleet, costs), costs, assumed, random);
      sum.quarter += fixedCost(group, 91, costs, assumed, random);
      sum.halfYear += fixedCost(group, 182, costs, assumed, random);
      sum.failure += fixedCost(group, 100_000, costs, assumed, random);
    }
  }
  return { ratio, ...sum };
};

const metShares = (ageKnown: boolean): readonly [number, number] => {
  const random = seeded(SEED + 7);
  const held: boolean[] = [];
  while (held.length < 3000) {
    const met = drawMet(assumedFleet(assumed, random), ageKnown, assumed, random);
    const ring = met && forecastLives([{ finished: [], current: met.record, pace: 1 }], prior, assumed)[0]?.inService;
    if (met === undefined || ring === undefined) continue;
    const { lowDays, highDays } = daysLeft(ring);
    held.push(met.daysLeft >= lowDays && met.daysLeft <= highDays);
  }
  return [held.length, shareOf(held)];
};

type Learned = { readonly name: string; readonly earlier: number; readonly before: Calibration; readonly after: Calibration };

/** Cafés of a fleet that was not drawn from the assumptions, before and after learning from 150 other groups of it. */
const learnedRows = (name: string, fleet: Fleet): readonly Learned[] => {
  const random = seeded(SEED + 11);
  const priors: readonly LifePrior[] = Array.from({ length: 12 }, () =>
    learnedPrior(drawCafes(fleet, 75, 3, assumed, random).map((groups) => groups.map((group) => group.record)), assumed),
  );
  return [0, 1, 3, 8].map((earlier) => ({
    name,
    earlier,
    before: pooled(priors.flatMap(() => [1, 2, 3].map(() => calibrate(fleet, CAFES, earlier, prior, assumed, random)))),
    after: pooled(priors.flatMap((learned) => [1, 2, 3].map(() => calibrate(fleet, CAFES, earlier, learned, assumed, random)))),
  }));
};

describe('lives in simulated fleets', () => {
  it('are forecast with ranges that hold, and changed at little more than the least cost', () => {
    const stated = [0, 1, 3, 8].map((earlier) => {
      const random = seeded(SEED + earlier);
      const fleets = Array.from({ length: FLEETS }, () => calibrate(assumedFleet(assumed, random), CAFES, earlier, prior, assumed, random));
      return { earlier, fleets, all: pooled(fleets) };
    });
    const known = metShares(true);
    const unknown = metShares(false);
    const learned = [
      ...learnedRows('median 96 days, shape 2', weibullFleet(96, 2, assumed)),
      ...learnedRows('median 170 days, shape 5', weibullFleet(170, 5, assumed)),
      ...learnedRows('log-normal, median 128 days, spread 0.4', lognormalFleet(128, 0.4, assumed)),
      ...learnedRows('log-normal, median 128 days, spread 0.7', lognormalFleet(128, 0.7, assumed)),
    ];
    const costs = [5, 10].map(costRow);
    const ratio = (row: CostRow, cost: number): string => (cost / row.best).toFixed(3);
    writeResult('seal-life', 'How long seals last, and when to change them', `seed ${SEED}`, [
      `## Ranges, ${FLEETS} fleets of ${2 * CAFES} groups drawn from what is assumed`,
      'Looks are weekly, one in five left out, misread as often as assumed; earlier seals end by a leak, by two bad looks running, or at 182 days. *Held*: the true life lies in the 80 % range (goal 76 to 84 %). *Ratio of ends*: median (goal at most 4.2 for a new café, 3.4 after three seals). *In service*: rings still in after up to 150 days, sound; their chance of having failed 28 days on, said and true, with the Brier score beside that of always saying the average.',
      table(calibrationHead, stated.map(({ earlier, all }) => calibrationRow(earlier, all))),
      `A single fleet of twenty groups shares one shape, so its own share held varies: nine fleets of ten lie between ${fleetSpread(stated[0]?.fleets ?? [])} without history and ${fleetSpread(stated[2]?.fleets ?? [])} after three seals. Chance alone would give 65 to 95 % of twenty lives. The prior is calibrated over many fleets, not for each.`,
      `Rings met in service at a moment that has nothing to do with them, in cafés that change at half a year at the latest: held ${percent(known[1])} of ${known[0]} where their age is known, ${percent(unknown[1])} where it is not.`,
      '## Fleets that the assumptions do not fit, before and after learning from 150 other groups',
      'Twelve times 75 cafés of two groups with three finished seals each are learned from; then three fresh fleets of 20 groups each time. Goal after learning: 75 to 85 % for the first two. Log-normal lives are not in the model: its limit.',
      table(
        ['fleet', 'earlier seals', 'next life held: before', 'after', 'ratio: before', 'after', 'in service held: before', 'after'],
        learned.map(({ name, earlier, before, after }) => [
          name,
          earlier,
          percent(shareOf(before.nextHeld)),
          percent(shareOf(after.nextHeld)),
          medianOf(before.nextRatio).toFixed(2),
          medianOf(after.nextRatio).toFixed(2),
          percent(shareOf(before.leftHeld)),
          percent(shareOf(after.leftHeld)),
        ]),
      ),
      `## Cost of four years, ${COST_CAFES} cafés of two groups starting without history`,
      'In units of the cost with the best fixed interval of somebody who knows each group’s median and shape (goal: at most 1.10, and below every three months). A failure costs so many planned changes, whenever the ring fails before it is changed. Under the fixed rules a failed ring is found by its leak or by two bad looks running, as in the records; the served rule also changes on what a look makes likely.',
      table(
        ['failure to planned', 'served', 'every three months', 'every six months', 'when it fails'],
        costs.map((row) => [row.ratio, ratio(row, row.served), ratio(row, row.quarter), ratio(row, row.halfYear), ratio(row, row.failure)]),
      ),
    ]);
    for (const { all } of stated) {
      expect(shareOf(all.nextHeld)).toBeGreaterThanOrEqual(0.76);
      expect(shareOf(all.nextHeld)).toBeLessThanOrEqual(0.84);
      expect(shareOf(all.leftHeld)).toBeGreaterThanOrEqual(0.76);
      expect(shareOf(all.leftHeld)).toBeLessThanOrEqual(0.84);
    }
    expect(medianOf(stated[0]?.all.nextRatio ?? [])).toBeLessThanOrEqual(4.2);
    expect(medianOf(stated[2]?.all.nextRatio ?? [])).toBeLessThanOrEqual(3.4);
    for (const { after } of learned.filter(({ name }) => name.startsWith('median'))) {
      expect(shareOf(after.nextHeld)).toBeGreaterThanOrEqual(0.75);
      expect(shareOf(after.nextHeld)).toBeLessThanOrEqual(0.85);
    }
    for (const row of costs) {
      expect(row.served).toBeLessThanOrEqual(1.1 * row.best);
      expect(row.served).toBeLessThan(row.quarter);
    }
  });
});
