import { toQuarterHour } from '../../src/seals/clock-hour.ts';
import type { SealConstants } from '../../src/seals/constants.ts';
import { adviseFit, type Fit } from '../../src/seals/fit.ts';
import { heightBelief, isLate, stackMm, type FitRing, type HandleReading } from '../../src/seals/height.ts';
import { newPairs } from '../../src/seals/lead-evidence.ts';
import { leadBelief, type LeadEvidence } from '../../src/seals/lead.ts';
import { overAngles, stacksOf, type Stack } from '../../src/seals/size-option.ts';
import { expectedWear } from '../../src/seals/wear.ts';
import type { Random } from './random.ts';

/** A simulated group: what it truly needs. */
export type TrueGroup = { readonly leadMm: number; readonly heightMm: number };
export type TrueRing = { readonly stackMm: number; readonly wearFactor: number };

/** Seals by half millimetres. */
export const stock = stacksOf([5, 5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9, 9.5], []);
const thicknesses = stock.map(stackMm);

const drawLead = (c: SealConstants, random: Random): number => {
  const leadMm = c.lead.medianMm * Math.exp(c.lead.logSpread * random.normal());
  return leadMm >= c.lead.lowMm && leadMm <= c.lead.highMm ? leadMm : drawLead(c, random);
};

export const drawGroup = (c: SealConstants, random: Random): TrueGroup => {
  const heightMm = c.height.meanMm + 0.8 * random.normal();
  return heightMm > 5.5 && heightMm < 9 ? { leadMm: drawLead(c, random), heightMm } : drawGroup(c, random);
};

export const drawRing = (stack: number, c: SealConstants, random: Random): TrueRing => ({
  stackMm: stack + c.height.ringSpreadMm * random.normal(),
  wearFactor: Math.exp(c.wear.logSpread * random.normal() - c.wear.logSpread ** 2 / 2),
});

export const trueAngle = (group: TrueGroup, ring: TrueRing, ageDays: number, c: SealConstants): number =>
  c.handle.targetDegrees +
  (360 / group.leadMm) * (group.heightMm - ring.stackMm + ring.wearFactor * expectedWear(ageDays, 'rubber', c.wear));

const read = (group: TrueGroup, ring: TrueRing, ageDays: number, c: SealConstants, random: Random): HandleReading => {
  const seen = trueAngle(group, ring, ageDays, c) + c.handle.readingErrorDegrees * random.normal();
  const degrees = toQuarterHour(seen, c.handle.readingStepDegrees);
  return { ageDays, at: degrees >= c.handle.stopDegrees ? { kind: 'stop' } : { kind: 'angle', degrees } };
};

const degreesRead = (reading: HandleReading, c: SealConstants): number =>
  reading.at.kind === 'stop' ? c.handle.stopDegrees : reading.at.degrees;

const average = (readings: readonly HandleReading[], c: SealConstants): number =>
  readings.reduce((sum, reading) => sum + degreesRead(reading, c), 0) / readings.length;

const plainAngle = (group: TrueGroup, stack: number, c: SealConstants): number =>
  c.handle.targetDegrees + (360 / group.leadMm) * (group.heightMm - stack);

/** What somebody who knows the truth would fit: nearest to the target and not left of the limit. */
export const oracleStack = (group: TrueGroup, c: SealConstants): number =>
  thicknesses
    .filter((stack) => plainAngle(group, stack, c) >= c.handle.leftLimitDegrees)
    .toSorted((a, b) => Math.abs(a - group.heightMm) - Math.abs(b - group.heightMm))[0] as number;

/** Right in six groups of ten, half a millimetre too thin in three, too thick in one if the handle still holds. */
export const drawFound = (group: TrueGroup, c: SealConstants, random: Random): number => {
  const right = oracleStack(group, c);
  const u = random.uniform();
  if (u < 0.6) return right;
  if (u < 0.9) return right - 0.5;
  return plainAngle(group, right + 0.5, c) > c.handle.outOfUseDegrees ? right + 0.5 : right;
};

/** Charges the new ring with the flattening of the old one and takes the median lead for true. */
const naiveStack = (stack: number, last: HandleReading, c: SealConstants): number => {
  const wanted = stack + ((degreesRead(last, c) - c.handle.targetDegrees) * c.lead.medianMm) / 360;
  return thicknesses.toSorted((a, b) => Math.abs(a - wanted) - Math.abs(b - wanted))[0] as number;
};

/** Mean readings of two new rings of different stack, as evidence of the lead. */
export const pairOf = (
  a: { readonly stack: number; readonly readings: readonly HandleReading[] },
  b: { readonly stack: number; readonly readings: readonly HandleReading[] },
  c: SealConstants,
): LeadEvidence => {
  const [thin, thick] = a.stack < b.stack ? [a, b] : [b, a];
  return {
    kind: 'pair',
    thinnerMm: thin.stack,
    thickerMm: thick.stack,
    turnedDegrees: average(thin.readings, c) - average(thick.readings, c),
    readingsThinner: thin.readings.length,
    readingsThicker: thick.readings.length,
  };
};

export const drawPair = (group: TrueGroup, thin: number, thick: number, c: SealConstants, random: Random): LeadEvidence => {
  const twice = (stack: number) => {
    const ring = drawRing(stack, c, random);
    return { stack, readings: [0, 1].map(() => read(group, ring, random.between(0, 7), c, random)) };
  };
  return pairOf(twice(thin), twice(thick), c);
};

export type Change = {
  /** Readings of new rings that the advice could use. */
  readonly newReadings: number;
  readonly asked: number;
  readonly fit: Fit;
  readonly degrees: number;
  readonly oracleDegrees: number;
  readonly naiveDegrees: number;
};

type Settings = {
  readonly changes: number;
  readonly readingsPerRing: number;
  /** Readings and measurements made because the advice asked for them, at most, at each change. */
  readonly follow: number;
  /** Fits the stack likeliest to stand within 10 degrees, whatever else the advice minds: no advice from these readings does better there. */
  readonly likeliest?: boolean;
};

/** The stack in stock likeliest to stand within 10 degrees of the target. */
const likeliestStack = (rings: readonly FitRing[], evidence: readonly LeadEvidence[], c: SealConstants): number => {
  const belief = heightBelief(rings, leadBelief(evidence, [], c), c);
  const chanceOf = (stack: Stack): number => {
    let near = 0;
    overAngles(belief, stack, c, (degrees, weight) => (near += Math.abs(degrees - c.handle.targetDegrees) <= 10 ? weight : 0));
    return near;
  };
  const rated = stock.map((stack) => ({ mm: stackMm(stack), chance: chanceOf(stack) }));
  return rated.reduce((best, each) => (each.chance > best.chance ? each : best)).mm;
};

const BETWEEN_DAYS = 120;

const aged = (rings: readonly FitRing[]): readonly FitRing[] =>
  rings.map((ring, i) => ({ ...ring, fittedDaysAgo: BETWEEN_DAYS * (rings.length - i) }));

/** One group through its first changes: the found ring goes, each next ring is chosen by the advice and read when new. */
export const simulateGroup = (settings: Settings, c: SealConstants, random: Random): readonly Change[] => {
  const group = drawGroup(c, random);
  const measured: LeadEvidence[] = [];
  const advise = (rings: readonly FitRing[]): Fit =>
    adviseFit({ rings: aged(rings), lead: leadBelief([...measured, ...newPairs(rings, c.height)], [], c), stock }, c);
  const late = (ring: TrueRing) => (random.chance(0.5) ? [read(group, ring, random.between(60, 180), c, random)] : []);
  let stack = drawFound(group, c, random);
  let ring = drawRing(stack, c, random);
  let current: FitRing = { sealMm: stack, shimMm: 0, material: 'rubber', found: true, readings: late(ring) };
  let before: readonly FitRing[] = [];
  const out: Change[] = [];
  for (let k = 0; k <= settings.changes; k++) {
    let fit = advise([...before, current]);
    let asked = 0;
    for (; k > 0 && asked < settings.follow && fit.kind !== 'sure'; asked++) {
      if (fit.take.kind === 'lead') {
        if (measured.length > 0) break;
        const leadMm = group.leadMm + c.lead.measuredSpreadMm * random.normal();
        measured.push({ kind: 'measured', leadMm });
      } else {
        current = { ...current, readings: [...current.readings, read(group, ring, random.between(0, 14), c, random)] };
      }
      fit = advise([...before, current]);
    }
    const advised = fit.kind === 'none' ? stack : stackMm(fit.best.stack);
    const next = settings.likeliest === true && k > 0 ? likeliestStack(aged([...before, current]), [...measured, ...newPairs([...before, current], c.height)], c) : advised;
    const nextRing = drawRing(next, c, random);
    const at = (other: number): number => trueAngle(group, { ...nextRing, stackMm: nextRing.stackMm + other - next }, 0, c);
    const lastRead = current.readings[current.readings.length - 1] ?? read(group, ring, BETWEEN_DAYS, c, random);
    const rings = [...before, current];
    out.push({
      newReadings: rings.flatMap((r) => r.readings).filter((r) => !isLate(r, c.height)).length,
      asked,
      fit,
      degrees: at(next),
      oracleDegrees: at(oracleStack(group, c)),
      naiveDegrees: at(naiveStack(stack, lastRead, c)),
    });
    const fresh = Array.from({ length: settings.readingsPerRing }, () => read(group, nextRing, random.between(0, 14), c, random));
    before = rings;
    current = { sealMm: next, shimMm: 0, material: 'rubber', found: false, readings: [...fresh, ...late(nextRing)] };
    stack = next;
    ring = nextRing;
  }
  return out;
};

export type Tally = {
  readonly count: number;
  readonly within: number;
  readonly oracleWithin: number;
  readonly share: number;
  readonly farLeft: number;
  readonly oracleFarLeft: number;
  readonly naiveFarLeft: number;
  readonly outOfUse: number;
  readonly sure: number;
  readonly asked: number;
};

/** Shares over many changes: within 10 degrees of the target, more than 15 left of it. */
export const tally = (changes: readonly Change[], c: SealConstants): Tally => {
  const share = (holds: (change: Change) => boolean): number => changes.filter(holds).length / changes.length;
  const near = (degrees: number): boolean => Math.abs(degrees - c.handle.targetDegrees) <= 10;
  const farLeft = (degrees: number): boolean => degrees < c.handle.targetDegrees - 15;
  const within = share((change) => near(change.degrees));
  const oracleWithin = share((change) => near(change.oracleDegrees));
  return {
    count: changes.length,
    within,
    oracleWithin,
    share: within / oracleWithin,
    farLeft: share((change) => farLeft(change.degrees)),
    oracleFarLeft: share((change) => farLeft(change.oracleDegrees)),
    naiveFarLeft: share((change) => farLeft(change.naiveDegrees)),
    outOfUse: share((change) => change.degrees < c.handle.outOfUseDegrees),
    sure: share((change) => change.fit.kind === 'sure'),
    asked: changes.reduce((sum, change) => sum + change.asked, 0) / changes.length,
  };
};
