import { describe, expect, it } from 'vitest';
import { leadBelief, type LeadEvidence } from '../../src/seals/lead.ts';
import { assumed } from './assumed.ts';
import { drawPair } from './fit-simulation.ts';
import { seeded } from './random.ts';

const pair = (turnedDegrees: number, readings = 2): LeadEvidence => ({
  kind: 'pair',
  thinnerMm: 7,
  thickerMm: 7.5,
  turnedDegrees,
  readingsThinner: readings,
  readingsThicker: readings,
});

describe('the lead of a ramp', () => {
  it('is served as assumed before anything was read', () => {
    const belief = leadBelief([], [], assumed);
    expect(belief.medianMm).toBeGreaterThan(11.3);
    expect(belief.medianMm).toBeLessThan(12.5);
    expect(belief.lowMm).toBeCloseTo(8, 0);
    expect(belief.highMm).toBeGreaterThan(16);
    expect(belief.highMm).toBeLessThan(17.5);
  });

  // Half a millimetre is about half an hour on the clock: common practice, no source.
  it('comes out near 12 mm a turn when half a millimetre turns the handle by half an hour', () => {
    const belief = leadBelief([pair(15), pair(15), pair(15), pair(15)], [], assumed);
    expect(Math.abs(belief.medianMm - 12)).toBeLessThan(1);
  });

  it('falls when the same step turns the handle further', () => {
    const medians = [8, 12, 16, 20, 24].map((turned) => leadBelief([pair(turned), pair(turned)], [], assumed).medianMm);
    expect(medians).toEqual(medians.toSorted((a, b) => b - a));
  });

  it('follows a technician with a rule more than a barista with a clock', () => {
    const measured = leadBelief([{ kind: 'measured', leadMm: 9 }], [], assumed);
    expect(Math.abs(measured.medianMm - 9)).toBeLessThan(0.5);
    expect(measured.highMm - measured.lowMm).toBeLessThan(2.5);
  });

  it('puts aside a pair in which the thicker ring stood further right, and asks again', () => {
    const wrong = pair(-20);
    const belief = leadBelief([pair(15), wrong, pair(14)], [], assumed);
    expect(belief.putAside).toEqual([wrong]);
    expect(belief.weights).toEqual(leadBelief([pair(15), pair(14)], [], assumed).weights);
  });

  it('learns from other machines of its kind, less than from its own', () => {
    const nines: LeadEvidence[] = [1, 2, 3].map(() => ({ kind: 'measured', leadMm: 9 }));
    const alone = leadBelief([], [], assumed).medianMm;
    const kind = leadBelief([], [nines, nines, nines], assumed);
    const own = leadBelief(nines, [], assumed);
    expect(kind.medianMm).toBeLessThan(alone - 1.5);
    expect(kind.highMm / kind.lowMm).toBeGreaterThan(own.highMm / own.lowMm);
  });

  it('is found again from pairs of new rings, better with each pair (sample; the full run is in docs/results)', () => {
    const random = seeded(41);
    const errors = [1, 10].map((pairs) => {
      const each = Array.from({ length: 40 }, () => {
        const group = { leadMm: random.between(8, 17), heightMm: 7.2 };
        const evidence = Array.from({ length: pairs }, () => drawPair(group, 7, 7.5, assumed, random));
        return Math.abs(leadBelief(evidence, [], assumed).medianMm / group.leadMm - 1);
      });
      return each.toSorted((a, b) => a - b)[20] as number;
    });
    expect(errors[1]).toBeLessThan(errors[0] as number);
    expect(errors[1]).toBeLessThan(0.12);
  });
});
