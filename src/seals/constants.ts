import { z } from 'zod';
import { parseConfig } from '../words/config-file.ts';

const positive = z.number().positive();
const chance = z.number().gt(0).lt(1);

const handle = z
  .strictObject({
    targetDegrees: z.number(),
    leftLimitDegrees: z.number(),
    outOfUseDegrees: z.number(),
    orderDegrees: z.number(),
    changeNowDegrees: z.number(),
    stopDegrees: z.number(),
    readingErrorDegrees: positive,
    readingStepDegrees: positive,
    goodWithinDegrees: positive,
    learnWeightRepeats: positive,
    jumpDegrees: positive,
  })
  .refine(
    (h) =>
      h.outOfUseDegrees <= h.leftLimitDegrees &&
      h.leftLimitDegrees < h.targetDegrees &&
      h.targetDegrees < h.orderDegrees &&
      h.orderDegrees < h.changeNowDegrees,
    'handle positions must run from left to right: out of use, limit, target, order, change now',
  );

const lead = z
  .strictObject({
    medianMm: positive,
    logSpread: positive,
    lowMm: positive,
    highMm: positive,
    withinKindLogSpread: positive,
    measuredSpreadMm: positive,
    outlierChance: chance,
  })
  .refine((l) => l.lowMm < l.medianMm && l.medianMm < l.highMm, 'the median lead must lie within its bounds')
  .refine((l) => l.withinKindLogSpread < l.logSpread, 'machines of one kind must differ less than all machines');

const height = z.strictObject({
  meanMm: positive,
  spreadMm: positive,
  foundShimSpreadMm: positive,
  foundRingSpreadMm: positive,
  ringSpreadMm: positive,
  walkMmPerYear: positive,
  servedDoubt: chance,
  lateAfterDays: positive,
  thickestMm: positive,
  leftChanceLimit: chance,
  unreadLeftChanceLimit: chance,
  sureChance: chance,
});

const wear = z
  .strictObject({
    beddingMm: z.number().min(0),
    beddingDays: positive,
    halfYearMm: positive,
    logSpread: positive,
    siliconeShare: positive,
    learnWeightRings: positive,
  })
  .refine((w) => w.beddingMm < w.halfYearMm, 'bedding in must be less than the wear of half a year');

const life = z
  .strictObject({
    usualCoffees: positive,
    useExponent: z.number().min(0).max(1),
    siliconePace: positive,
    medianDays: positive,
    cafeSpread: positive,
    groupSpread: positive,
    shapes: z.array(positive).min(1),
    shapeWeights: z.array(positive).min(1),
    gridHalfWidth: positive,
    gridPoints: z.int().min(3),
    learnFromLives: z.int().min(1),
    learnWeightCafes: positive,
  })
  .refine((l) => l.shapes.length === l.shapeWeights.length, 'each shape needs one weight')
  .refine(
    (l) => Math.abs(l.shapeWeights.reduce((sum, weight) => sum + weight, 0) - 1) < 1e-9,
    'the weights of the shapes must add up to 1',
  );

const looks = z
  .strictObject({
    badWhenFailed: chance,
    badWhenSound: chance,
    outBadWhenFailed: chance,
    outBadWhenSound: chance,
    leakAfterDays: positive,
    learnWeightFailed: positive,
    learnWeightSound: positive,
    learnWeightLeaks: positive,
  })
  .refine(
    (l) => l.badWhenSound < l.badWhenFailed && l.outBadWhenSound < l.outBadWhenFailed,
    'a failed ring must look bad more often than a sound one',
  );

const drift = z.strictObject({
  degreesPerWeek: positive,
  logSpread: positive,
  newSpreadDegrees: positive,
  quickShares: z.array(z.number().min(0).lt(1)).min(1),
  horizonDays: positive,
});

const change = z.strictObject({
  longestDays: positive,
  failureToPlanned: z.number().gt(1),
  lookEveryDays: positive,
  nowChance: chance,
  deliveryDays: positive,
  againAfterDays: positive,
});

const schema = z.strictObject({ handle, lead, height, wear, life, looks, drift, change });

/** The assumed figures of `config/seals.yaml`; units stand in the names. */
export type SealConstants = Readonly<z.infer<typeof schema>>;

/** Reads the text of `config/seals.yaml`; throws with every problem found in it. */
export const sealConstants = (text: string, file = 'config/seals.yaml'): SealConstants => parseConfig(schema, text, file);
