import { believe, lastReadings } from './belief.ts';
import type { Compiled } from './compiled.ts';
import { at } from './compiled.ts';
import type { Case, Reading } from './model.ts';

/** From this chance of "something else" on, or this conflict, a case looks like nothing known (both assumed). */
export const MISFIT = { other: 0.35, conflict: Math.log(4) } as const;

/**
 * How badly a case fits what is known. `other` is the chance of "something else"; `conflict` is the log of how much
 * rarer the readings are together than they would be if they had nothing to do with each other (above 0: they speak
 * against each other; the measure of Jensen, Chamberlain, Nordahl and Jensen, 1991, from memory).
 */
export type Misfit = { readonly other: number; readonly conflict: number; readonly fits: boolean };

const logChance = (compiled: Compiled, aCase: Case, readings: readonly Reading[]): number => {
  const { mass } = believe(compiled, { ...aCase, readings });
  return Math.log(mass.reduce((a, b) => a + b, 0));
};

export const misfit = (compiled: Compiled, aCase: Case, chance: Float64Array): Misfit => {
  const readings = lastReadings(aCase.readings).filter(({ kind }) => kind === 'answer' || kind === 'record');
  const alone = readings.reduce((sum, reading) => sum + logChance(compiled, aCase, [reading]), 0);
  const conflict = readings.length < 2 ? 0 : alone - logChance(compiled, aCase, readings);
  const other = compiled.causes.reduce((sum, cause, c) => (cause.other ? sum + at(chance, c) : sum), 0);
  return { other, conflict, fits: other < MISFIT.other && conflict < MISFIT.conflict };
};
