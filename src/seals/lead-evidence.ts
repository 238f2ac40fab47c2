import { isLate, stackMm, type FitRing } from './height.ts';
import type { LeadEvidence } from './lead.ts';
import type { SealConstants } from './constants.ts';

type Stood = { readonly stackMm: number; readonly degrees: readonly number[] };

/** How new rings of each stack stood, thinnest first. A found ring, a worn one and one against its stop say nothing of the ramp. */
const newRings = (rings: readonly FitRing[], height: SealConstants['height']): readonly Stood[] => {
  const read = rings.filter(({ found, readings }) => !found && readings.every(({ at }) => at.kind === 'angle'));
  const stacks = [...new Set(read.map(stackMm))].toSorted((a, b) => a - b);
  return stacks
    .map((stack) => ({
      stackMm: stack,
      degrees: read.filter((ring) => stackMm(ring) === stack).flatMap(({ readings }) => readings.flatMap((reading) => (reading.at.kind === 'angle' && !isLate(reading, height) ? [reading.at.degrees] : []))),
    }))
    .filter(({ degrees }) => degrees.length > 0);
};

const average = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Pairs of neighbouring stacks that one group had new, all readings of a stack taken together. Rings in one state of the machine. */
export const newPairs = (rings: readonly FitRing[], height: SealConstants['height']): readonly LeadEvidence[] => {
  const stood = newRings(rings, height);
  return stood.slice(1).map((thick, i): LeadEvidence => {
    const thin = stood[i] as Stood;
    return { kind: 'pair', thinnerMm: thin.stackMm, thickerMm: thick.stackMm, turnedDegrees: average(thin.degrees) - average(thick.degrees), readingsThinner: thin.degrees.length, readingsThicker: thick.degrees.length };
  });
};
