import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { degreesOfHour, type HandlePosition } from '../../src/seals/clock-hour.ts';
import { severities, sealRead, type GroupState } from '../../src/seals/inspection-reasons.ts';
import { inspect, type Verdict } from '../../src/seals/inspection.ts';
import { assumed } from './assumed.ts';

const hour = (h: number): HandlePosition => ({ kind: 'angle', degrees: degreesOfHour(h) });
const stop: HandlePosition = { kind: 'stop' };

const fine: GroupState = {
  look: { handle: hour(6.25), feel: 'soft', finger: 'clean' },
  ringAgeDays: 70,
  before: hour(6.25),
  neededMm: 8,
  daysSinceFelt: 0,
  wornAlready: 0.01,
  endsBeforeNextLook: 0.05,
  change: { inDays: 60, why: 'cheapest', failsBefore: 0.1 },
};

const verdict = (more: Partial<GroupState>, staff = true): Verdict => inspect({ ...fine, ...more }, staff, assumed);
const look = (more: Partial<GroupState['look']>): Partial<GroupState> => ({ look: { ...fine.look, ...more } });
const kinds = (v: Verdict): readonly string[] => v.reasons.map((reason) => reason.kind);

// Which sign calls for what is common practice, no source.
describe('the verdict of a weekly look', () => {
  it('is keep, with the next look in a week, when nothing is wrong', () => {
    expect(verdict({})).toEqual({ kind: 'keep', reasons: [], nextLookInDays: 7, changeInDays: 60 });
  });

  it('is group out of use for a handle left of seven, whether the ring is new or old', () => {
    expect(verdict({ ...look({ handle: hour(7) }), ringAgeDays: 2 })).toMatchObject({ kind: 'out-of-use', reasons: [{ kind: 'too-thick' }] });
    expect(verdict({ ...look({ handle: hour(7.25) }), before: hour(7) })).toMatchObject({ kind: 'out-of-use', reasons: [{ kind: 'left-of-limit' }] });
  });

  it('is group out of use for a ring that crumbles, change now for one that is only cracked', () => {
    expect(verdict(look({ feel: 'cracked', finger: 'black' })).kind).toBe('out-of-use');
    expect(verdict(look({ feel: 'cracked', finger: 'clean' })).kind).toBe('change-now');
  });

  it('is change now at half past four and against the stop, order at five', () => {
    expect(verdict({ ...look({ handle: hour(4.5) }), before: hour(4.75) })).toMatchObject({ kind: 'change-now', reasons: [{ kind: 'crept-right' }] });
    expect(verdict({ ...look({ handle: stop }), before: hour(4.75) })).toMatchObject({ kind: 'change-now', reasons: [{ kind: 'against-stop' }] });
    expect(verdict({ ...look({ handle: hour(5) }), before: hour(5.25) })).toMatchObject({ kind: 'order', reasons: [{ kind: 'crept-right' }] });
  });

  it('calls a new ring far right too thin, not worn', () => {
    expect(kinds(verdict({ ...look({ handle: hour(5) }), ringAgeDays: 3, before: hour(5) }))).toEqual(['too-thin']);
  });

  it('is a booking when a new ring stands far right and no ring is thick enough: the lugs are worn', () => {
    const v = verdict({ ...look({ handle: hour(4.75) }), ringAgeDays: 3, before: hour(4.75), neededMm: 10.2 });
    expect(v).toMatchObject({ kind: 'book', reasons: [{ kind: 'lugs-worn', neededMm: 10.2 }, { kind: 'too-thin' }] });
  });

  it('is look again when one bad look stands against a young ring, change now once it is likely', () => {
    const bad = look({ feel: 'hard', finger: 'black' });
    expect(verdict({ ...bad, wornAlready: 0.2 })).toMatchObject({ kind: 'look-again', inDays: 2 });
    expect(verdict({ ...bad, wornAlready: 0.6, endsBeforeNextLook: 0.63 }).kind).toBe('change-now');
  });

  it('is look again when the finger is black from a soft ring: it may be old coffee', () => {
    expect(verdict(look({ finger: 'black' }))).toMatchObject({ kind: 'look-again', reasons: [{ kind: 'black-but-soft' }] });
  });

  it('is look again when the handle jumped, even past a limit: one reading alone changes nothing', () => {
    const v = verdict({ ...look({ handle: hour(5) }), before: hour(6.25) });
    expect(v.kind).toBe('look-again');
    expect(kinds(v)).toContain('handle-jumped');
  });

  it('does not let a jump hold back a cracked ring or one left of seven', () => {
    expect(verdict({ ...look({ handle: hour(5), feel: 'cracked' }), before: hour(6.25) }).kind).toBe('change-now');
    expect(verdict({ ...look({ handle: hour(7.25) }), before: hour(6.25) }).kind).toBe('out-of-use');
  });

  it('keeps a hard ring with a straight handle, and says that it is hard', () => {
    expect(verdict(look({ feel: 'hard' }))).toMatchObject({ kind: 'keep', reasons: [{ kind: 'hard', calls: 'keep' }] });
  });

  it('lets one look pass without feeling the ring, not two', () => {
    const hot = look({ feel: 'not-felt', finger: 'not-felt' });
    expect(verdict({ ...hot, daysSinceFelt: 7 }).kind).toBe('keep');
    expect(verdict({ ...hot, daysSinceFelt: 14 }).kind).toBe('look-again');
  });

  it('is order when the change falls within delivery and one look, change now before the next look', () => {
    expect(verdict({ change: { inDays: 20, why: 'cheapest', failsBefore: 0.1 } })).toMatchObject({ kind: 'order', changeInDays: 20 });
    expect(verdict({ change: { inDays: 21, why: 'cheapest', failsBefore: 0.1 } }).kind).toBe('keep');
    expect(verdict({ change: { inDays: 6, why: 'longest-time', failsBefore: 0.1 } })).toMatchObject({
      kind: 'change-now',
      reasons: [{ kind: 'change-due', why: 'longest-time' }],
    });
  });

  it('is a booking where staff may not change seals', () => {
    expect(verdict({ change: { inDays: 10, why: 'cheapest', failsBefore: 0.1 } }, false)).toMatchObject({ kind: 'book', byDays: 10 });
    expect(verdict(look({ feel: 'cracked' }), false)).toMatchObject({ kind: 'book', byDays: 7 });
    expect(verdict(look({ handle: hour(7.25) }), false).kind).toBe('out-of-use');
  });
});

const anyState = fc.record({
  look: fc.record({
    handle: fc.oneof(fc.constant('not-read' as const), fc.constant(stop), fc.integer({ min: 16, max: 31 }).map((q) => hour(q / 4))),
    feel: fc.constantFrom('soft' as const, 'hard' as const, 'cracked' as const, 'not-felt' as const),
    finger: fc.constantFrom('clean' as const, 'black' as const, 'not-felt' as const),
  }),
  ringAgeDays: fc.integer({ min: 0, max: 300 }),
  before: fc.integer({ min: 16, max: 31 }).map((q) => hour(q / 4)),
  neededMm: fc.double({ min: 5, max: 11, noNaN: true }),
  daysSinceFelt: fc.integer({ min: 0, max: 60 }),
  wornAlready: fc.double({ min: 0, max: 1, noNaN: true }),
  endsBeforeNextLook: fc.double({ min: 0, max: 1, noNaN: true }),
  change: fc.record({ inDays: fc.integer({ min: 0, max: 182 }), why: fc.constant('cheapest' as const), failsBefore: fc.constant(0.2) }),
});

describe('whatever is seen', () => {
  it('a handle left of seven always takes the group out of use, and costs or dates never bring it back', () => {
    fc.assert(
      fc.property(anyState, fc.boolean(), (state, staff) => {
        const left = { ...state, look: { ...state.look, handle: hour(7.25) } };
        expect(inspect(left, staff, assumed).kind).toBe('out-of-use');
      }),
      { seed: 5, numRuns: 200 },
    );
  });

  it('the verdict is never milder than look again when any reason calls for more', () => {
    fc.assert(
      fc.property(anyState, fc.boolean(), (state, staff) => {
        const v = inspect(state, staff, assumed);
        const worst = Math.max(0, ...v.reasons.map((reason) => severities.indexOf(reason.calls)));
        if (worst > 0) expect(v.kind).not.toBe('keep');
        if (v.kind === 'out-of-use') expect(v.reasons[0]?.calls).toBe('out-of-use');
      }),
      { seed: 6, numRuns: 300 },
    );
  });

  it('the handle is no evidence of the seal: a reading feeds one forecast only', () => {
    fc.assert(
      fc.property(anyState, ({ look: seen }) => {
        expect(sealRead(seen)).toBe(sealRead({ ...seen, handle: 'not-read' }));
      }),
      { seed: 7, numRuns: 100 },
    );
  });
});
