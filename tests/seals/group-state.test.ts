import { describe, expect, it } from 'vitest';
import { degreesOfHour } from '../../src/seals/clock-hour.ts';
import { driftBelief, type DriftReading } from '../../src/seals/drift-belief.ts';
import { groupState, ringOutlook, type RingNow } from '../../src/seals/group-state.ts';
import { inspect } from '../../src/seals/inspection.ts';
import { assumedPrior, failedWithin, forecastLives, type InService } from '../../src/seals/life.ts';
import type { RingRecord } from '../../src/seals/ring-evidence.ts';
import { assumed } from './assumed.ts';

const costs = { planned: 1, failed: 5 };
const serving = (day: number, bad: readonly number[] = []): RingRecord => ({
  pace: 1,
  start: { kind: 'new' },
  looks: Array.from({ length: Math.floor(day / 7) }, (_, i) => ({ day: 7 * (i + 1), read: bad.includes(7 * (i + 1)) ? 'bad' : 'sound' })),
  end: { kind: 'in-service', day },
});
const ringNow = (current: RingRecord, more: Partial<RingNow> = {}): RingNow => {
  const forecast = forecastLives([{ pace: 1, finished: [], current }], assumedPrior(assumed.life), assumed)[0];
  return { newRing: forecast?.newRing as RingNow['newRing'], inService: forecast?.inService as InService, daysSincePassed: 0, ...more };
};
const drifting = (hours: readonly number[]): NonNullable<RingNow['drift']> => {
  const readings = hours.map((hour, i): DriftReading => ({ ageDays: 7 * (i + 1), at: { kind: 'angle', degrees: degreesOfHour(hour) } }));
  return { paths: driftBelief(readings, undefined, assumed), ageDays: 7 * hours.length };
};

describe('the outlook of a ring', () => {
  it('changes in good time: not at once when young, and before half of them fail', () => {
    const young = ringOutlook(ringNow(serving(14)), costs, assumed);
    expect(young.change.inDays).toBeGreaterThan(21);
    expect(young.change.failsBefore).toBeLessThan(0.5);
    expect(ringOutlook(ringNow(serving(70)), costs, assumed).change.inDays).toBeLessThan(young.change.inDays);
  });

  it('changes earlier where a failure costs more', () => {
    const cheap = ringOutlook(ringNow(serving(14)), { planned: 1, failed: 2 }, assumed).change.inDays;
    const dear = ringOutlook(ringNow(serving(14)), { planned: 1, failed: 10 }, assumed).change.inDays;
    expect(dear).toBeLessThan(cheap);
  });

  it('never waits past the longest time without a passed look', () => {
    const { change } = ringOutlook(ringNow(serving(14), { daysSincePassed: 175 }), { planned: 1, failed: 1.2 }, assumed);
    expect(change).toMatchObject({ inDays: 7, why: 'longest-time' });
  });

  it('is the seal alone where the handle was never read', () => {
    const ring = ringNow(serving(49));
    expect(ringOutlook(ring, costs, assumed).endsWithin(30)).toBeCloseTo(failedWithin(ring.inService, 30), 10);
    expect(ringOutlook(ring, costs, assumed).larger).toBe('seal');
  });

  it('is worse with a handle that runs away, and names it', () => {
    const still = ringNow(serving(56), { drift: drifting([6.5, 6.5, 6.25, 6.25, 6.25, 6.25, 6.25, 6.25]) });
    const running = ringNow(serving(56), { drift: drifting([6.25, 6, 5.75, 5.5, 5.25, 5, 4.75, 4.75]) });
    expect(ringOutlook(running, costs, assumed).endsWithin(28)).toBeGreaterThan(ringOutlook(still, costs, assumed).endsWithin(28));
    const mild = { planned: 1, failed: 2 };
    expect(ringOutlook(running, mild, assumed).change.inDays).toBeLessThan(ringOutlook(still, mild, assumed).change.inDays);
    expect(ringOutlook(running, costs, assumed).larger).toBe('handle');
    expect(ringOutlook(still, costs, assumed).larger).toBe('seal');
  });
});

describe('a weekly look from reading to verdict', () => {
  const looked = { ringAgeDays: 98, daysSinceFelt: 0, neededMm: 8 };

  it('keeps a sound young ring', () => {
    const ring = ringNow(serving(21), { drift: drifting([6.5, 6.25, 6.5]) });
    const seen = ringOutlook(ring, costs, assumed);
    const state = groupState(
      { ...looked, ringAgeDays: 21, look: { handle: { kind: 'angle', degrees: degreesOfHour(6.5) }, feel: 'soft', finger: 'clean' } },
      ring,
      seen,
      assumed,
    );
    expect(inspect(state, true, assumed).kind).toBe('keep');
  });

  it('changes a ring that is hard, black and crept right, and says how likely it ends before the next look', () => {
    const hours = [6.5, 6.25, 6.25, 6.25, 6, 6, 6, 5.75, 5.75, 5.5, 5.5, 5.25, 5.25, 5];
    const ring = ringNow(serving(98, [98]), { drift: drifting(hours) });
    const seen = ringOutlook(ring, costs, assumed);
    const look = { handle: { kind: 'angle' as const, degrees: degreesOfHour(5) }, feel: 'hard' as const, finger: 'black' as const };
    const verdict = inspect(groupState({ ...looked, before: { kind: 'angle', degrees: degreesOfHour(5.25) }, look }, ring, seen, assumed), true, assumed);
    expect(verdict.kind).toBe('change-now');
    expect(verdict.reasons.map((reason) => reason.kind)).toEqual(expect.arrayContaining(['looks-bad', 'crept-right', 'likely-to-end']));
    const likely = verdict.reasons.find((reason) => reason.kind === 'likely-to-end');
    expect(likely).toMatchObject({ chance: seen.endsWithin(7) });
  });
});
