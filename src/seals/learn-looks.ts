import type { SealConstants } from './constants.ts';
import { lifeCurve, survivalAt, type LifeCurve } from './life-curve.ts';
import { cafePrior, type LifePrior } from './life.ts';
import { blurredRows, lifeGrid } from './life-grid.ts';
import { normalKernel } from './normal.ts';
import { ringPieces, type RingRecord } from './ring-evidence.ts';

type Looks = SealConstants['looks'];

type Counts = {
  readonly badFailed: number;
  readonly failed: number;
  readonly badSound: number;
  readonly sound: number;
  readonly leaks: number;
  /** Days for which failed rings had not leaked yet. */
  readonly dryDays: number;
};

const nothing: Counts = { badFailed: 0, failed: 0, badSound: 0, sound: 0, leaks: 0, dryDays: 0 };

/** Expected counts of one ring that was fitted new, over every moment at which it may have failed. */
const countsOf = (ring: RingRecord, curve: LifeCurve, constants: SealConstants): Counts => {
  const { times, chances, ifSound } = ringPieces(ring, constants);
  const survival = times.map((time) => survivalAt(curve, time));
  const weights = chances.map((chance, i) => chance * ((survival[i] as number) - (survival[i + 1] as number)));
  const sound = ifSound * (survival[survival.length - 1] as number);
  const total = weights.reduce((a, b) => a + b, sound);
  let out = { ...nothing, leaks: ring.end.kind === 'leaked' ? 1 : 0 };
  if (!(total > 0)) return nothing;
  const looks = ring.looks.filter((look) => look.day <= ring.end.day);
  for (const look of looks) {
    const failed = weights.reduce((sum, weight, i) => ((times[i + 1] as number) <= look.day * ring.pace ? sum + weight : sum), 0) / total;
    const bad = look.read === 'bad' ? 1 : 0;
    out = { ...out, badFailed: out.badFailed + bad * failed, failed: out.failed + failed, badSound: out.badSound + bad * (1 - failed), sound: out.sound + 1 - failed };
  }
  const dryDays = weights.reduce((sum, weight, i) => {
    const middle = ((times[i] as number) + (times[i + 1] as number)) / 2 / ring.pace;
    return sum + (weight / total) * (ring.end.day - middle);
  }, 0);
  return { ...out, dryDays };
};

const added = (a: Counts, b: Counts): Counts => ({
  badFailed: a.badFailed + b.badFailed,
  failed: a.failed + b.failed,
  badSound: a.badSound + b.badSound,
  sound: a.sound + b.sound,
  leaks: a.leaks + b.leaks,
  dryDays: a.dryDays + b.dryDays,
});

const improved = (counts: Counts, assumed: Looks): Looks => ({
  ...assumed,
  badWhenFailed: (assumed.badWhenFailed * assumed.learnWeightFailed + counts.badFailed) / (assumed.learnWeightFailed + counts.failed),
  badWhenSound: (assumed.badWhenSound * assumed.learnWeightSound + counts.badSound) / (assumed.learnWeightSound + counts.sound),
  leakAfterDays: (assumed.leakAfterDays * assumed.learnWeightLeaks + counts.dryDays) / (assumed.learnWeightLeaks + counts.leaks),
});

const ROUNDS = 20;

/**
 * How far looks can be trusted and how soon a failed ring leaks, learned from many rings by
 * expectation and maximisation; the assumed figures count as a number of looks and leaks.
 */
export const learnedLooks = (rings: readonly RingRecord[], prior: LifePrior, constants: SealConstants): Looks => {
  const grid = lifeGrid(constants.life, prior.centre);
  const kernel = normalKernel(prior.groupSpread / grid.step);
  const curve = lifeCurve(grid, blurredRows(grid, cafePrior(grid, prior), kernel), 1);
  const fitted = rings.filter((ring) => ring.start.kind === 'new');
  let looks = constants.looks;
  for (let round = 0; round < ROUNDS; round++) {
    const now = { ...constants, looks };
    const counts = fitted.map((ring) => countsOf(ring, curve, now)).reduce(added, nothing);
    looks = improved(counts, constants.looks);
  }
  return looks;
};
