import { toQuarterHour } from '../../src/seals/clock-hour.ts';
import type { SealConstants } from '../../src/seals/constants.ts';
import { adviseFit, type Fit } from '../../src/seals/fit.ts';
import { isLate, stackMm, type FitRing, type HandleReading } from '../../src/seals/height.ts';
import { newPairs } from '../../src/seals/lead-evidence.ts';
import { leadBelief, type LeadBelief } from '../../src/seals/lead.ts';
import { drawFound, drawGroup, drawPair, oracleStack, stock, trueAngle, type Change, type TrueGroup, type TrueRing } from './fit-simulation.ts';
import { seeded, type Random } from './random.ts';

/** How the ramps of a machine's two groups truly go together: as is assumed of machines of one kind, alike, or not at all. */
export const TRUTHS = ['as assumed', 'alike', 'unrelated'] as const;
export type Truth = (typeof TRUTHS)[number];

export type Machine = readonly [TrueGroup, TrueGroup];

/** Both leads are spread as the prior says, whatever they have to do with each other. */
export const drawMachine = (truth: Truth, c: SealConstants, random: Random): Machine => {
  const [one, other] = [drawGroup(c, random), drawGroup(c, random)];
  if (truth === 'unrelated') return [one, other];
  if (truth === 'alike') return [one, { ...other, leadMm: one.leadMm }];
  const within = c.lead.withinKindLogSpread;
  const kind = c.lead.medianMm * Math.exp(Math.sqrt(c.lead.logSpread ** 2 - within ** 2) * random.normal());
  const [a, b] = [kind * Math.exp(within * random.normal()), kind * Math.exp(within * random.normal())];
  const isPossible = [a, b].every((leadMm) => leadMm >= c.lead.lowMm && leadMm <= c.lead.highMm);
  return isPossible ? [{ ...one, leadMm: a }, { ...other, leadMm: b }] : drawMachine(truth, c, random);
};

type Noise = { readonly ringMm: number; readonly wearFactor: number; readonly readings: readonly { readonly ageDays: number; readonly errorDegrees: number }[] };

const READINGS = 2;

/** What chance does to one ring, drawn beforehand: with and without the neighbour's lead the same happens. */
const drawNoise = (c: SealConstants, random: Random): Noise => ({
  ringMm: c.height.ringSpreadMm * random.normal(),
  wearFactor: Math.exp(c.wear.logSpread * random.normal() - c.wear.logSpread ** 2 / 2),
  readings: Array.from({ length: READINGS }, () => ({ ageDays: random.between(0, 14), errorDegrees: c.handle.readingErrorDegrees * random.normal() })),
});

type Course = { readonly rings: readonly FitRing[]; readonly stack: number };

const BETWEEN_DAYS = 120;
const aged = (rings: readonly FitRing[]): readonly FitRing[] => rings.map((ring, i) => ({ ...ring, fittedDaysAgo: BETWEEN_DAYS * (rings.length - i) }));

const readAs = (group: TrueGroup, ring: TrueRing, { readings }: Noise, c: SealConstants): readonly HandleReading[] =>
  readings.map(({ ageDays, errorDegrees }) => {
    const degrees = toQuarterHour(trueAngle(group, ring, ageDays, c) + errorDegrees, c.handle.readingStepDegrees);
    return { ageDays, at: degrees >= c.handle.stopDegrees ? { kind: 'stop' } : { kind: 'angle', degrees } };
  });

const fitted = (group: TrueGroup, stack: number, noise: Noise, found: boolean, c: SealConstants): FitRing => ({
  sealMm: stack, shimMm: 0, material: 'rubber', found, readings: found ? [] : readAs(group, { stackMm: stack + noise.ringMm, wearFactor: noise.wearFactor }, noise, c),
});

export type Outcome = {
  /** Changes the advice was asked for with at least two readings of new rings. */
  readonly changes: readonly Change[];
  /** Relative error of each group's lead at the end. */
  readonly leadErrors: readonly number[];
};

/** A machine whose two groups get new rings in turn, each chosen by the advice at its word; with and without what the other group tells of its ramps. */
export const simulateMachine = (truth: Truth, rounds: number, c: SealConstants, random: Random): { readonly together: Outcome; readonly alone: Outcome } => {
  const machine = drawMachine(truth, c, random);
  const found = machine.map((group) => drawFound(group, c, random));
  const noises = machine.map(() => Array.from({ length: rounds + 1 }, () => drawNoise(c, random)));
  const play = (shared: boolean): Outcome => {
    const changes: Change[] = [];
    let courses: readonly Course[] = machine.map((group, g) => ({ rings: [fitted(group, found[g] ?? 0, noises[g]?.[0] as Noise, true, c)], stack: found[g] ?? 0 }));
    const leadOf = (g: number): LeadBelief => leadBelief(newPairs(courses[g]?.rings ?? [], c.height), shared ? courses.filter((_, other) => other !== g).map(({ rings }) => newPairs(rings, c.height)) : [], c);
    for (let round = 0; round < rounds; round++)
      courses = courses.map((course, g) => {
        const group = machine[g] as TrueGroup;
        const fit: Fit = adviseFit({ rings: aged(course.rings), lead: leadOf(g), stock }, c);
        const stack = fit.kind === 'none' ? course.stack : stackMm(fit.best.stack);
        const noise = noises[g]?.[round + 1] as Noise;
        const at = (mm: number): number => trueAngle(group, { stackMm: mm + noise.ringMm, wearFactor: noise.wearFactor }, 0, c);
        const newReadings = course.rings.flatMap(({ readings }) => readings).filter((reading) => !isLate(reading, c.height)).length;
        if (newReadings >= READINGS) changes.push({ newReadings, asked: 0, fit, degrees: at(stack), oracleDegrees: at(oracleStack(group, c)), naiveDegrees: at(stack) });
        return { rings: [...course.rings, fitted(group, stack, noise, false, c)], stack };
      });
    return { changes, leadErrors: machine.map((group, g) => Math.abs(leadOf(g).medianMm / group.leadMm - 1)) };
  };
  return { together: play(true), alone: play(false) };
};

/** Relative errors of a group's lead after so many pairs of its own and of its neighbour, for many machines. */
export const leadErrorsOf = (truth: Truth, pairs: { readonly own: number; readonly neighbour: number }, machines: number, c: SealConstants, seed: number): readonly number[] =>
  Array.from({ length: machines }, (_, i) => {
    // A stream for each machine: whatever the neighbour has, the machine and its own pairs are the same.
    const random = seeded(seed * 10_000 + i);
    const [own, neighbour] = drawMachine(truth, c, random);
    const pairsOf = (group: TrueGroup, count: number) => Array.from({ length: count }, () => drawPair(group, 7, 7.5, c, random));
    return Math.abs(leadBelief(pairsOf(own, pairs.own), [pairsOf(neighbour, pairs.neighbour)], c).medianMm / own.leadMm - 1);
  });
