import { describe, expect, it } from 'vitest';
import { lifeGridOf, likelihoodOn } from '../../src/seals/life-grid.ts';
import { endedBetween, paceOf, ringEvidence, type RingEnd, type RingRecord } from '../../src/seals/ring-evidence.ts';
import { assumed } from './assumed.ts';

const ring = (end: RingEnd, bad: readonly number[] = [], start: RingRecord['start'] = { kind: 'new' }): RingRecord => ({
  pace: 1,
  start,
  looks: Array.from({ length: Math.floor(end.day / 7) }, (_, i) => ({ day: 7 * (i + 1), read: bad.includes(7 * (i + 1)) ? 'bad' : 'sound' })),
  end,
});

const medians = Float64Array.from([80, 128, 200], Math.log);
const grid = lifeGridOf([3], medians);
const survival = (median: number, t: number): number => Math.exp(-Math.LN2 * (t / median) ** 3);
const ratios = (values: Float64Array): readonly number[] => Array.from(values, (v) => v / (values[1] as number));

/** The same likelihood by brute force: failing on each day in turn, chances of everything read, and no short cuts. */
const bruteForce = (record: RingRecord, median: number): number => {
  const { badWhenFailed, badWhenSound, outBadWhenFailed, outBadWhenSound, leakAfterDays } = assumed.looks;
  const { end } = record;
  const readIf = (failsOn: number): number => {
    let chance = 1;
    for (const look of record.looks) {
      const bad = look.day > failsOn ? badWhenFailed : badWhenSound;
      chance *= look.read === 'bad' ? bad : 1 - bad;
    }
    if (end.kind === 'changed' && end.found !== 'not-looked') {
      const bad = end.day > failsOn ? outBadWhenFailed : outBadWhenSound;
      chance *= end.found === 'bad' ? bad : 1 - bad;
    }
    return chance;
  };
  const step = 0.01;
  let sum = end.kind === 'leaked' ? 0 : survival(median, end.day) * readIf(Number.POSITIVE_INFINITY);
  for (let day = step / 2; day < end.day; day += step) {
    const dry = Math.exp(-(end.day - day) / leakAfterDays) / (end.kind === 'leaked' ? leakAfterDays : 1);
    sum += (survival(median, day - step / 2) - survival(median, day + step / 2)) * dry * readIf(day);
  }
  return sum;
};

describe('what one ring tells', () => {
  it.each([
    ['leaked', ring({ kind: 'leaked', day: 123 })],
    ['leaked after a bad look', ring({ kind: 'leaked', day: 123 }, [119])],
    ['changed, sound in the hand', ring({ kind: 'changed', day: 91, found: 'sound' })],
    ['changed, bad in the hand after two bad looks', ring({ kind: 'changed', day: 107, found: 'bad' }, [98, 105])],
    ['one false alarm long ago', ring({ kind: 'in-service', day: 100 }, [14])],
    ['a bad look last week', ring({ kind: 'in-service', day: 100 }, [98])],
  ])('is the sum over every day on which it may have failed: %s', (_name, record) => {
    const served = likelihoodOn(grid, ringEvidence(record, assumed));
    medians.forEach((x, i) => {
      const exact = bruteForce(record, Math.exp(x));
      // Failing is taken as even between looks: a few per cent on the rarest, nothing that moves a forecast.
      expect((served[i] as number) / exact).toBeGreaterThan(0.97);
      expect((served[i] as number) / exact).toBeLessThan(1.03);
    });
  });

  it('is hardly more than "still sound" for a ring with good looks all along', () => {
    const served = likelihoodOn(grid, ringEvidence(ring({ kind: 'in-service', day: 98 }), assumed));
    const exact = likelihoodOn(grid, endedBetween(98, Number.POSITIVE_INFINITY));
    ratios(served).forEach((ratio, i) => expect(ratio / (ratios(exact)[i] as number)).toBeCloseTo(1, 0));
  });

  it('speaks for a failure near the end when the last look was bad, and against one when it was followed by good ones', () => {
    const late = likelihoodOn(grid, ringEvidence(ring({ kind: 'in-service', day: 98 }, [98]), assumed));
    const early = likelihoodOn(grid, ringEvidence(ring({ kind: 'in-service', day: 98 }, [70]), assumed));
    expect(ratios(late)[0]).toBeGreaterThan(ratios(early)[0] as number);
  });

  it('does not count the years before we looked as survived by luck', () => {
    const seen = (start: RingRecord['start']): readonly number[] =>
      ratios(likelihoodOn(grid, ringEvidence(ring({ kind: 'in-service', day: 14 }, [], start), assumed)));
    const fresh = seen({ kind: 'new' });
    const old = seen({ kind: 'met', ageDays: 150 });
    const unknown = seen({ kind: 'met-age-not-known' });
    expect(old[2]).toBeGreaterThan(fresh[2] as number);
    expect(unknown[2]).toBeGreaterThan(0.7);
    expect(unknown[2]).toBeLessThan(1.4);
  });

  it('is the same when looks are listed out of order or after the end', () => {
    const record = ring({ kind: 'changed', day: 100, found: 'sound' }, [21]);
    const shuffled = { ...record, looks: [...record.looks.toReversed(), { day: 107, read: 'bad' as const }] };
    expect(ringEvidence(shuffled, assumed)).toEqual(ringEvidence(record, assumed));
  });

  it('survives a ring that came under our eyes today', () => {
    const evidence = ringEvidence(ring({ kind: 'in-service', day: 0 }), assumed);
    expect(Array.from(likelihoodOn(grid, evidence))).toEqual([1, 1, 1]);
  });
});

describe('the pace of ageing', () => {
  it('is 1 in the usual café, the root of the use elsewhere, and half in silicone', () => {
    expect(paceOf(200, 'rubber', assumed.life)).toBe(1);
    expect(paceOf(800, 'rubber', assumed.life)).toBeCloseTo(2, 12);
    expect(paceOf(200, 'silicone', assumed.life)).toBe(0.5);
  });
});
