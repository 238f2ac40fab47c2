import { changeDate, cheapestInterval, type Costs } from '../../src/seals/change-date.ts';
import type { SealConstants } from '../../src/seals/constants.ts';
import { survivalAt } from '../../src/seals/life-curve.ts';
import { failedWithin, forecastLives, staysSound, type GroupRecord, type InService, type LifeForecast, type LifePrior } from '../../src/seals/life.ts';
import type { RingEnd, RingLook, RingRecord } from '../../src/seals/ring-evidence.ts';
import { drawRing, watch, type Fleet, type TrueRing } from './life-simulation.ts';
import { seeded, type Random } from './random.ts';

const FOUR_YEARS = 1461;
const HORIZON = 700;

/** A group's rings in the order they would be fitted: the same for every policy. */
export type TrueGroup = { readonly median: number; readonly ring: (n: number) => TrueRing };

export const drawTrueGroups = (fleet: Fleet, count: number, c: SealConstants, random: Random): readonly TrueGroup[] => {
  const cafe = fleet.centre + fleet.cafeSpread * random.normal();
  return Array.from({ length: count }, () => {
    const median = Math.exp(cafe + fleet.groupSpread * random.normal());
    const seed = Math.floor(random.uniform() * 2 ** 30);
    return { median, ring: (n) => drawRing(fleet, median, c, seeded(seed + 7919 * n)) };
  });
};

const priceOf = (ring: TrueRing, day: number, costs: Costs): number => (day > ring.failsOn ? costs.failed : costs.planned);

/** Cost of four years with every ring changed at the same age, or when it is seen to have failed. */
export const fixedCost = (group: TrueGroup, everyDays: number, costs: Costs, c: SealConstants, random: Random): number => {
  let cost = 0;
  let today = 0;
  for (let n = 0; ; n++) {
    const ring = group.ring(n);
    const { day } = watch(ring, everyDays, c, random).end;
    today += day;
    if (today > FOUR_YEARS) return cost;
    cost += priceOf(ring, day, costs);
  }
};

/** The interval that somebody who knows the group's median and shape would keep. */
export const bestInterval = (group: TrueGroup, fleet: Fleet, costs: Costs): number =>
  cheapestInterval((t) => Math.exp(-Math.LN2 * (t / group.median) ** fleet.shape), costs, 1500).everyDays;

type Running = { fitted: number; n: number; ring: TrueRing; looks: RingLook[]; finished: RingRecord[]; planned: number; cost: number };

const recordOf = (run: Running, end: RingEnd): RingRecord => ({ pace: 1, start: { kind: 'new' }, looks: run.looks, end });

const nextRing = (run: Running, group: TrueGroup, today: number, end: RingEnd, costs: Costs): void => {
  run.cost += priceOf(run.ring, today - run.fitted, costs);
  run.finished.push(recordOf(run, end));
  run.n += 1;
  run.fitted = today;
  run.ring = group.ring(run.n);
  run.looks = [];
  run.planned = Number.POSITIVE_INFINITY;
};

const decide = (forecast: LifeForecast, ring: InService, lastPassed: number, age: number, costs: Costs, c: SealConstants): number => {
  if (failedWithin(ring, c.change.lookEveryDays) >= c.change.nowChance) return 0;
  const price = cheapestInterval((t) => survivalAt(forecast.newRing, t), costs, HORIZON).costPerDay;
  const latest = lastPassed + c.change.longestDays - age;
  return changeDate((t) => staysSound(ring, t), costs, price, latest, 250).inDays;
};

const change = (run: Running, group: TrueGroup, today: number, costs: Costs, c: SealConstants, random: Random): void => {
  const day = today - run.fitted;
  const bad = random.chance(day > run.ring.failsOn ? c.looks.outBadWhenFailed : c.looks.outBadWhenSound);
  nextRing(run, group, today, { kind: 'changed', day, found: bad ? 'bad' : 'sound' }, costs);
};

/** Cost of four years for each group of a café that follows the served forecasts, starting without any history. */
export const servedCost = (groups: readonly TrueGroup[], prior: LifePrior, costs: Costs, c: SealConstants, random: Random): readonly number[] => {
  const runs = groups.map((group): Running => ({ fitted: 0, n: 0, ring: group.ring(0), looks: [], finished: [], planned: Number.POSITIVE_INFINITY, cost: 0 }));
  for (let today = 1; today <= FOUR_YEARS; today++) {
    runs.forEach((run, g) => {
      const group = groups[g] as TrueGroup;
      if (today - run.fitted >= run.ring.leaksOn) nextRing(run, group, today, { kind: 'leaked', day: today - run.fitted }, costs);
      else if (today >= run.planned) change(run, group, today, costs, c, random);
    });
    if (today % c.change.lookEveryDays !== 0) continue;
    for (const run of runs) {
      const day = today - run.fitted;
      if (day === 0 || random.chance(0.2)) continue;
      const bad = random.chance(day > run.ring.failsOn ? c.looks.badWhenFailed : c.looks.badWhenSound);
      run.looks = [...run.looks, { day, read: bad ? 'bad' : 'sound' }];
    }
    const records = runs.map((run): GroupRecord => ({
      pace: 1,
      finished: run.finished,
      ...(today > run.fitted ? { current: recordOf(run, { kind: 'in-service', day: today - run.fitted }) } : {}),
    }));
    forecastLives(records, prior, c).forEach((forecast, g) => {
      const run = runs[g] as Running;
      if (forecast.inService === undefined) return;
      const passed = Math.max(0, ...run.looks.filter((look) => look.read === 'sound').map((look) => look.day));
      const inDays = decide(forecast, forecast.inService, passed, today - run.fitted, costs, c);
      if (inDays === 0) change(run, groups[g] as TrueGroup, today, costs, c, random);
      else run.planned = today + inDays;
    });
  }
  return runs.map((run) => run.cost);
};

