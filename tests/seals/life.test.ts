import { describe, expect, it } from 'vitest';
import { survivalAt } from '../../src/seals/life-curve.ts';
import {
  assumedPrior,
  daysLeft,
  failedWithin,
  forecastLives,
  nextLife,
  staysSound,
  type GroupRecord,
  type InService,
  type LifeForecast,
} from '../../src/seals/life.ts';
import type { RingEnd, RingRecord } from '../../src/seals/ring-evidence.ts';
import { assumed } from './assumed.ts';

const prior = assumedPrior(assumed.life);
const ring = (end: RingEnd, bad: readonly number[] = [], pace = 1): RingRecord => ({
  pace,
  start: { kind: 'new' },
  looks: Array.from({ length: Math.floor(end.day / 7) }, (_, i) => ({ day: 7 * (i + 1), read: bad.includes(7 * (i + 1)) ? 'bad' : 'sound' })),
  end,
});
const leaked = (day: number): RingRecord => ring({ kind: 'leaked', day });
const serving = (day: number, bad: readonly number[] = []): RingRecord => ring({ kind: 'in-service', day }, bad);
const group = (finished: readonly RingRecord[], current?: RingRecord, pace = 1): GroupRecord => ({
  finished,
  pace,
  ...(current === undefined ? {} : { current }),
});
const forecast = (...groups: readonly GroupRecord[]): readonly LifeForecast[] => forecastLives(groups, prior, assumed);
const first = (...groups: readonly GroupRecord[]): LifeForecast => forecast(...groups)[0] as LifeForecast;
const inService = (one: LifeForecast): InService => one.inService as InService;

describe('the life of the next ring', () => {
  it('is three to six months in a café nobody knows', () => {
    const { lowDays, medianDays, highDays } = nextLife(first(group([])).newRing);
    expect(Math.abs(medianDays - 128)).toBeLessThan(6);
    expect(lowDays).toBeLessThan(91);
    expect(highDays).toBeGreaterThan(182);
    expect(highDays / lowDays).toBeLessThanOrEqual(4.2);
  });

  it('moves with the lives of earlier rings, and is better known', () => {
    const short = nextLife(first(group([leaked(70), leaked(65), leaked(80)])).newRing);
    const long = nextLife(first(group([leaked(190), leaked(210), leaked(180)])).newRing);
    expect(short.medianDays).toBeLessThan(100);
    expect(long.medianDays).toBeGreaterThan(150);
    expect(long.highDays / long.lowDays).toBeLessThan(3.4);
  });

  it('learns from the other groups of the café, less than from its own', () => {
    const short = [leaked(70), leaked(65), leaked(80)];
    const own = nextLife(first(group(short), group([])).newRing).medianDays;
    const neighbours = nextLife(first(group([]), group(short)).newRing).medianDays;
    const alone = nextLife(first(group([])).newRing).medianDays;
    expect(neighbours).toBeLessThan(alone - 15);
    expect(own).toBeLessThan(neighbours);
  });

  it('is shorter in a café that brews more, and longer in silicone, by the pace alone', () => {
    const usual = nextLife(first(group([])).newRing);
    const busy = nextLife(first(group([], undefined, 2)).newRing);
    expect(busy.medianDays).toBeCloseTo(usual.medianDays / 2, 3);
    expect(busy.highDays).toBeCloseTo(usual.highDays / 2, 2);
  });

  it('counts a ring changed early in good state for at least that long', () => {
    const early = nextLife(first(group([ring({ kind: 'changed', day: 182, found: 'sound' })])).newRing);
    const failed = nextLife(first(group([ring({ kind: 'changed', day: 182, found: 'bad' }, [175, 182])])).newRing);
    expect(early.medianDays).toBeGreaterThan(failed.medianDays);
    expect(early.medianDays).toBeGreaterThan(nextLife(first(group([])).newRing).medianDays);
  });
});

describe('the ring in service', () => {
  it('may be worn already after a bad look, and surely after two', () => {
    const worn = (bad: readonly number[]): number => inService(first(group([], serving(98, bad)))).wornAlready;
    expect(worn([])).toBeLessThan(0.05);
    expect(worn([98])).toBeGreaterThan(0.4);
    expect(worn([98])).toBeLessThan(0.8);
    expect(worn([91, 98])).toBeGreaterThan(0.9);
  });

  it('is hardly doubted for a false alarm that good looks followed', () => {
    const once = inService(first(group([], serving(98, [70]))));
    expect(once.wornAlready).toBeLessThan(0.05);
  });

  it('is hardly doubted for a bad look in its first week', () => {
    expect(inService(first(group([], serving(7, [7])))).wornAlready).toBeLessThan(0.1);
  });

  it('may have failed unseen when nobody looked for weeks', () => {
    const unseen: RingRecord = { ...serving(150), looks: [] };
    expect(inService(first(group([], unseen))).wornAlready).toBeGreaterThan(inService(first(group([], serving(150)))).wornAlready * 2);
  });

  it('has chances that rise with the days and never pass 1', () => {
    const now = inService(first(group([leaked(110)], serving(60))));
    let before = now.wornAlready;
    for (let days = 0; days <= 400; days += 10) {
      const chance = failedWithin(now, days);
      expect(chance).toBeGreaterThanOrEqual(before - 1e-12);
      expect(chance).toBeLessThanOrEqual(1);
      before = chance;
    }
    expect(failedWithin(now, 400)).toBeGreaterThan(0.99);
  });

  it('counts its own age once: its curve is the same with and without its own good looks', () => {
    const young = inService(first(group([leaked(110)], serving(7))));
    const older = inService(first(group([leaked(110)], serving(70))));
    expect(older.curve).toEqual(young.curve);
    expect(staysSound(older, 30)).toBeCloseTo(survivalAt(young.curve, 100) / survivalAt(young.curve, 70), 10);
  });

  it('has less time left the older it is', () => {
    const left = [7, 49, 98].map((day) => daysLeft(inService(first(group([leaked(110), leaked(120)], serving(day))))).medianDays);
    expect(left).toEqual(left.toSorted((a, b) => b - a));
  });

  it('is forecast even where nobody knows when it was fitted, with a wider range', () => {
    const unknown = inService(first(group([], { ...serving(14), start: { kind: 'met-age-not-known' } })));
    const known = inService(first(group([], { ...serving(14), start: { kind: 'met', ageDays: 60 } })));
    const spread = (one: InService): number => daysLeft(one).highDays - daysLeft(one).lowDays;
    expect(spread(unknown)).toBeGreaterThan(spread(known));
    expect(daysLeft(unknown).medianDays).toBeGreaterThan(20);
  });
});

describe('records that contradict the assumptions', () => {
  it('still give a forecast: lives of days and of years', () => {
    const odd = first(group([leaked(3), leaked(900), leaked(2), ring({ kind: 'changed', day: 700, found: 'sound' })], serving(400)));
    expect(nextLife(odd.newRing).medianDays).toBeGreaterThan(0);
    expect(Number.isFinite(inService(odd).wornAlready)).toBe(true);
  });

  it('still give a forecast when every look of a year was bad', () => {
    const allBad = serving(364, Array.from({ length: 52 }, (_, i) => 7 * (i + 1)));
    expect(inService(first(group([], allBad))).wornAlready).toBeGreaterThan(0.99);
  });

  it('still give a forecast for four groups with twenty rings each', () => {
    const many = Array.from({ length: 20 }, (_, i) => leaked(80 + 5 * i));
    const all = forecast(...[0, 1, 2, 3].map(() => group(many, serving(50))));
    for (const one of all) expect(nextLife(one.newRing).highDays).toBeGreaterThan(nextLife(one.newRing).lowDays);
  });
});
