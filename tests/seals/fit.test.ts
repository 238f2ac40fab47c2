import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { degreesOfHour } from '../../src/seals/clock-hour.ts';
import { adviseFit, type Fit } from '../../src/seals/fit.ts';
import { stackMm, type FitRing, type HandleReading } from '../../src/seals/height.ts';
import { leadBelief } from '../../src/seals/lead.ts';
import { stacksOf } from '../../src/seals/size-option.ts';
import { assumed } from './assumed.ts';

const lead = leadBelief([], [], assumed);
const seals = stacksOf([6, 6.5, 7, 7.5, 8, 8.5], []);
const withShims = stacksOf([6, 7, 8], [0.5, 1]);

const at = (hour: number, ageDays?: number): HandleReading => ({
  at: { kind: 'angle', degrees: degreesOfHour(hour) },
  ...(ageDays === undefined ? {} : { ageDays }),
});

const ring = (sealMm: number, readings: readonly HandleReading[], more: Partial<FitRing> = {}): FitRing => ({
  sealMm,
  shimMm: 0,
  material: 'rubber',
  found: true,
  fittedDaysAgo: 150,
  readings,
  ...more,
});

const advise = (rings: readonly FitRing[], stock = seals): Fit => adviseFit({ rings, lead, stock }, assumed);
const bestOf = (fit: Fit): number => (fit.kind === 'none' ? Number.NaN : stackMm(fit.best.stack));

// The rules of this block are common practice, no source.
describe('the size of the next ring, as the trade knows it', () => {
  it('is 8 mm after 7 mm with a shim of 1 mm', () => {
    const fit = advise([ring(7, [], { shimMm: 1 })]);
    expect(bestOf(fit)).toBe(8);
    expect(fit.reasons).toContainEqual({ kind: 'shim-found', sealMm: 7, shimMm: 1 });
  });

  it('is thicker when the new ring stood far to the right', () => {
    expect(bestOf(advise([ring(7, [at(5.25, 3), at(5.25, 8), at(5.25, 10)])]))).toBeGreaterThan(7);
  });

  it('is thinner when the new ring stood left of seven', () => {
    expect(bestOf(advise([ring(8, [at(7.25, 1), at(7.25, 2)])]))).toBeLessThan(8);
  });

  it('is the same when only an old ring stood to the right', () => {
    const fit = advise([ring(8, [at(5, 170), at(4.75, 175)])]);
    expect(bestOf(fit)).toBe(8);
    expect(fit.reasons).toContainEqual({ kind: 'same-as-last' });
  });

  it('is the same when the new ring stood a little left and crept right since', () => {
    const fit = advise([ring(8, [at(6.5, 2), at(6.25, 9), at(6.5, 12), at(5.25, 150), at(5, 170)])]);
    expect(bestOf(fit)).toBe(8);
    expect(fit.kind).toBe('sure');
  });

  it('is the same when nothing was ever read, and the handle is to be read on the new ring', () => {
    const fit = advise([ring(7.5, [])]);
    expect(bestOf(fit)).toBe(7.5);
    expect(fit).toMatchObject({ kind: 'two', take: { kind: 'new-ring', stack: { sealMm: 7.5 } } });
  });
});

describe('the size of the next ring', () => {
  it('is not guessed before the ring that comes out was looked at', () => {
    expect(advise([])).toMatchObject({ kind: 'none', take: { kind: 'size-of-old-ring' } });
  });

  it('comes with the hour and the chance of too far left for every stack in stock', () => {
    const fit = advise([ring(7, [at(6.5, 3), at(6.25, 6), at(6.5, 9)])]);
    expect(fit.options).toHaveLength(seals.length);
    const byStack = fit.options.toSorted((a, b) => stackMm(a.stack) - stackMm(b.stack));
    byStack.slice(1).forEach((option, i) => {
      expect(option.hour).toBeGreaterThan(byStack[i]?.hour as number);
      expect(option.leftChance).toBeGreaterThanOrEqual(byStack[i]?.leftChance as number);
    });
    expect(bestOf(fit)).toBe(7);
  });

  it('never comes from a stack that may end left of seven with more than one chance in a hundred', () => {
    const hours = fc.constantFrom(5, 5.25, 5.5, 5.75, 6, 6.25, 6.5, 6.75, 7);
    const readings = fc.array(fc.tuple(hours, fc.integer({ min: 0, max: 28 })), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(readings, fc.constantFrom(6, 7, 8), (read, sealMm) => {
        const fit = advise([ring(sealMm, read.map(([hour, age]) => at(hour, age)))], withShims);
        if (fit.kind !== 'none') expect(fit.best.leftChance).toBeLessThanOrEqual(0.01);
      }),
      { seed: 7, numRuns: 60 },
    );
  });

  it('takes the seal alone before a thinner seal with a shim', () => {
    const fit = advise([ring(7, [at(6.5, 3), at(6.5, 6), at(6.25, 9)])], withShims);
    expect(fit.kind !== 'none' && fit.best.stack).toMatchObject({ sealMm: 7, shims: 0 });
  });

  it('names two candidates and the reading to take when one reading does not settle it', () => {
    const fit = advise([ring(7, [at(6, 3)], { fittedDaysAgo: 3 })]);
    expect(fit).toMatchObject({ kind: 'two', other: { stack: { sealMm: 7.5 } }, take: { kind: 'again' } });
    expect(fit.kind === 'two' && fit.sure).toBeLessThan(0.9);
  });

  it('asks for the lead when that is what blurs the thicker candidate', () => {
    const readings = [at(5.5, 1), at(5.5, 3), at(5.5, 5), at(5.5, 8), at(5.5, 12)];
    expect(advise([ring(7, readings)])).toMatchObject({ kind: 'two', take: { kind: 'lead' } });
  });

  it('says what to look for when every stack in stock is too thick', () => {
    const fit = advise([ring(7, [at(6.5, 3), at(6.25, 5)])], stacksOf([8.5, 9], []));
    expect(fit).toMatchObject({ kind: 'none', wantedMm: 6.5 });
    expect(fit.dropped.every(({ why }) => why === 'may-end-left')).toBe(true);
  });

  it('knows a handle against the stop for at least that far right', () => {
    const stop: HandleReading = { ageDays: 3, at: { kind: 'stop' } };
    const fit = advise([ring(6, [stop, stop])]);
    expect(fit.heightMm).toBeGreaterThan(advise([ring(6, [at(5, 3), at(5, 3)])]).heightMm);
  });

  it('survives readings that contradict each other', () => {
    const many = Array.from({ length: 30 }, (_, i) => at(i % 2 === 0 ? 8 : 4, 5));
    expect(advise([ring(7, many)]).kind).not.toBe('sure');
  });

  it('is better known with every new ring that was read', () => {
    const readings = [at(6, 3), at(6.25, 6)];
    const rings = [ring(7, readings, { fittedDaysAgo: 300 }), ring(7, readings, { found: false, fittedDaysAgo: 150 })];
    expect(advise(rings).heightSpreadMm).toBeLessThan(advise(rings.slice(1)).heightSpreadMm);
  });
});

const quarter = fc.integer({ min: 16, max: 28 }).map((q) => q / 4);
const fresh = fc.array(fc.record({ hour: quarter, age: fc.integer({ min: 0, max: 28 }) }), { maxLength: 3 });
const lateOnes = fc.array(
  fc.record({ hour: quarter, age: fc.option(fc.integer({ min: 29, max: 300 }), { nil: undefined }), stop: fc.boolean() }),
  { minLength: 1, maxLength: 3 },
);
const lateReading = (late: { hour: number; age: number | undefined; stop: boolean }): HandleReading => ({
  ...at(late.hour, late.age),
  ...(late.stop ? { at: { kind: 'stop' as const } } : {}),
});

describe('readings of a worn ring', () => {
  it('never move the size up, nor the other candidate', () => {
    fc.assert(
      fc.property(fresh, lateOnes, fc.constantFrom(6.5, 7, 7.5, 8), fc.boolean(), (early, late, sealMm, found) => {
        const readings = early.map(({ hour, age }) => at(hour, age));
        const without = advise([ring(sealMm, readings, { found })]);
        const with_ = advise([ring(sealMm, [...readings, ...late.map(lateReading)], { found })]);
        const named = (fit: Fit): number =>
          fit.kind === 'none' ? 0 : Math.max(bestOf(fit), fit.kind === 'two' && fit.other ? stackMm(fit.other.stack) : 0);
        if (with_.kind === 'none') return;
        expect(bestOf(with_)).toBeLessThanOrEqual(without.kind === 'none' ? 0 : bestOf(without));
        expect(named(with_)).toBeLessThanOrEqual(named(without));
      }),
      { seed: 11, numRuns: 120 },
    );
  });

  it('may move it down: an old ring still far left was too thick', () => {
    const few = [at(6.25, 10)];
    const more = [...few, at(6.75, 120), at(6.75, 150), at(7, 170)];
    expect(bestOf(advise([ring(8, more)]))).toBeLessThan(bestOf(advise([ring(8, few)])));
  });
});

describe('an old ring alone, never read when it was new', () => {
  it('is followed by the same size where it stands straight or to the right', () => {
    for (const hour of [6, 5.5, 5, 4.5]) expect([hour, bestOf(advise([ring(8, [at(hour, 150)])]))]).toEqual([hour, 8]);
  });

  it('is followed by a thinner one where it stands left: the wear it has lost would stand a new one further left still', () => {
    expect(bestOf(advise([ring(8, [at(6.75, 150)])]))).toBeLessThan(8);
  });

  it('never by one that is likelier than allowed to end left of the limit', () => {
    fc.assert(
      fc.property(quarter, fc.integer({ min: 29, max: 300 }), fc.constantFrom(6.5, 7, 7.5, 8), (hour, age, sealMm) => {
        const fit = advise([ring(sealMm, [at(hour, age)])]);
        if (fit.kind === 'none') return;
        expect(fit.best.leftChance).toBeLessThanOrEqual(assumed.height.unreadLeftChanceLimit);
      }),
      { seed: 17, numRuns: 100 },
    );
  });
});

describe('readings of a new ring', () => {
  it('further right never ask for a thinner ring', () => {
    const early = fc.array(fc.record({ hour: quarter, age: fc.integer({ min: 0, max: 28 }) }), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(early, fc.constantFrom(7, 7.5, 8), (read, sealMm) => {
        const here = advise([ring(sealMm, read.map(({ hour, age }) => at(hour, age)))]);
        const right = advise([ring(sealMm, read.map(({ hour, age }) => at(hour - 0.25, age)))]);
        if (here.kind === 'none') return;
        expect(right.kind).not.toBe('none');
        expect(bestOf(right)).toBeGreaterThanOrEqual(bestOf(here));
      }),
      { seed: 13, numRuns: 80 },
    );
  });
});
