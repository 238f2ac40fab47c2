import type { SealConstants } from './constants.ts';
import type { Material } from './wear.ts';

/** How old a ring was on day 0, when it came under our eyes. */
export type RingStart =
  | { readonly kind: 'new' }
  | { readonly kind: 'met'; readonly ageDays: number }
  | { readonly kind: 'met-age-not-known' };

/** One look at a ring in the group; `day` counts from its start. */
export type RingLook = { readonly day: number; readonly read: 'sound' | 'bad' };

export type RingEnd =
  | { readonly kind: 'in-service'; readonly day: number }
  | { readonly kind: 'leaked'; readonly day: number }
  /** Taken out; what it was like in the hand. */
  | { readonly kind: 'changed'; readonly day: number; readonly found: 'sound' | 'bad' | 'not-looked' };

/** The life of one ring as the café saw it. A handle past its limit belongs to the drift, not here. */
export type RingRecord = {
  /** How fast rings age here, against the usual café: `paceOf`. */
  readonly pace: number;
  readonly start: RingStart;
  readonly looks: readonly RingLook[];
  readonly end: RingEnd;
};

/** A sum of survivals, `sum of weights[i] * S(times[i])`, in paced days. */
export type SurvivalSum = { readonly times: readonly number[]; readonly weights: readonly number[] };

export type RingEvidence = {
  readonly likelihood: SurvivalSum;
  /** The part of the likelihood in which the ring was sound to the last moment. */
  readonly stillSound: SurvivalSum;
  /** Ages it may have now (paced days): one, or several alike if nobody knows. */
  readonly agesNow: readonly number[];
  /** Set if it was met in service: old rings are met more often where rings live long. */
  readonly met?: { readonly longestAge: number };
};

/** How fast a ring of this material ages in a café of so many coffees a day, against the usual one. */
export const paceOf = (coffeesADay: number, material: Material, life: SealConstants['life']): number =>
  (coffeesADay / life.usualCoffees) ** life.useExponent * (material === 'silicone' ? life.siliconePace : 1);

type Seen = { readonly at: number; readonly ifFailed: number; readonly ifSound: number };

const seenAt = (at: number, bad: boolean, whenFailed: number, whenSound: number): Seen => ({
  at,
  ifFailed: bad ? whenFailed : 1 - whenFailed,
  ifSound: bad ? whenSound : 1 - whenSound,
});

const everythingSeen = (ring: RingRecord, looks: SealConstants['looks']): readonly Seen[] => {
  const seen = ring.looks
    .filter((look) => look.day <= ring.end.day)
    .map((look) => seenAt(look.day * ring.pace, look.read === 'bad', looks.badWhenFailed, looks.badWhenSound));
  if (ring.end.kind === 'changed' && ring.end.found !== 'not-looked') {
    const { outBadWhenFailed, outBadWhenSound } = looks;
    seen.push(seenAt(ring.end.day * ring.pace, ring.end.found === 'bad', outBadWhenFailed, outBadWhenSound));
  }
  return seen.toSorted((a, b) => a.at - b.at);
};

/** Moments between which failing is taken as even: every look, and half the leak time near the end. */
const moments = (until: number, seen: readonly Seen[], leakAfter: number): readonly number[] => {
  const steps = Array.from({ length: 12 }, (_, i) => until - ((i + 1) * leakAfter) / 2);
  const all = [0, until, ...seen.map((s) => s.at), ...steps].filter((at) => at >= 0);
  return [...new Set(all)].toSorted((a, b) => a - b);
};

/** Average over failing evenly in (a, b] of the chance of no leak until `until`. */
const dryUntil = (a: number, b: number, until: number, leakAfter: number): number =>
  (leakAfter / (b - a)) * (Math.exp(-(until - b) / leakAfter) - Math.exp(-(until - a) / leakAfter));

/** Weights below this share of the largest are left out: they cost time and change nothing. */
const NEGLIGIBLE = 1e-7;

/** Turns chances per interval into weights per moment: sum c_k [S(t_k) - S(t_k+1)] + c_last S(t_last). */
const asSum = (times: readonly number[], chances: readonly number[], ifSound: number): SurvivalSum => {
  const level = [...chances, ifSound];
  const weights = level.map((chance, i) => chance - (i === 0 ? 0 : (level[i - 1] as number)));
  const limit = NEGLIGIBLE * Math.max(...level);
  const kept = times.map((_, i) => i).filter((i) => Math.abs(weights[i] as number) > limit);
  return { times: kept.map((i) => times[i] as number), weights: kept.map((i) => weights[i] as number) };
};

const NOT_KNOWN_AGES = 13;

/** Ages on day 0, paced: spread evenly up to the longest life the trade allows if nobody knows. */
const startAges = (ring: RingRecord, longestDays: number): readonly number[] => {
  switch (ring.start.kind) {
    case 'new':
      return [0];
    case 'met':
      return [ring.start.ageDays * ring.pace];
    case 'met-age-not-known':
      return Array.from({ length: NOT_KNOWN_AGES }, (_, i) => ((i + 0.5) / NOT_KNOWN_AGES) * longestDays * ring.pace);
  }
};

const agedBy = (sum: SurvivalSum, ages: readonly number[]): SurvivalSum => ({
  times: ages.flatMap((age) => sum.times.map((time) => age + time)),
  weights: ages.flatMap(() => sum.weights.map((weight) => weight / ages.length)),
});

/** One ring's observation piece by piece: chance of everything seen, had it failed between two moments. */
export type RingPieces = {
  /** Days since its start, paced; piece `i` runs from `times[i]` to `times[i + 1]`. */
  readonly times: readonly number[];
  readonly chances: readonly number[];
  readonly ifSound: number;
  readonly ages: readonly number[];
};

export const ringPieces = (ring: RingRecord, constants: SealConstants): RingPieces => {
  const until = ring.end.day * ring.pace;
  const leakAfter = constants.looks.leakAfterDays * ring.pace;
  const seen = everythingSeen(ring, constants.looks);
  const times = moments(until, seen, leakAfter);
  const leaked = ring.end.kind === 'leaked';
  const chances = times.slice(1).map((end, i) => {
    let chance = dryUntil(times[i] as number, end, until, leakAfter) / (leaked ? leakAfter : 1);
    for (const s of seen) chance *= s.at >= end ? s.ifFailed : s.ifSound;
    return chance;
  });
  const ifSound = leaked ? 0 : seen.reduce((product, s) => product * s.ifSound, 1);
  return { times, chances, ifSound, ages: startAges(ring, constants.change.longestDays) };
};

/**
 * What a ring's looks, leaks and end tell of its life, misreadings and the time from failed to
 * leaking allowed for. A leak only follows a failure; a ring that never leaked may have failed lately.
 */
export const ringEvidence = (ring: RingRecord, constants: SealConstants): RingEvidence => {
  const { times, chances, ifSound, ages } = ringPieces(ring, constants);
  const until = ring.end.day * ring.pace;
  return {
    likelihood: agedBy(asSum(times, chances, ifSound), ages),
    stillSound: agedBy({ times: [until], weights: [ifSound] }, ages),
    agesNow: ages.map((age) => age + until),
    ...(ring.start.kind === 'new' ? {} : { met: { longestAge: constants.change.longestDays * ring.pace } }),
  };
};

/** A life known to have ended between two ages (or after the first, if the second is infinite), in paced days. */
export const endedBetween = (after: number, before: number): RingEvidence => ({
  likelihood: before === Number.POSITIVE_INFINITY ? { times: [after], weights: [1] } : { times: [after, before], weights: [1, -1] },
  stillSound: { times: [after], weights: [before === Number.POSITIVE_INFINITY ? 1 : 0] },
  agesNow: [after],
});
