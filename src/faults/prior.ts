import type { Compiled } from './compiled.ts';
import { at } from './compiled.ts';
import type { RecordChance } from './model.ts';

/** Records move a cause's odds by this factor at most, either way (assumed). */
export const MOST_FROM_RECORDS = 10;

const odds = (chance: number): number => chance / (1 - chance);

/** How far a record moves the odds of its cause: what is known now against what the weight already contained. */
export const oddsRatio = ({ now, usual }: RecordChance): number => {
  const ratio = odds(now) / odds(usual);
  if (Number.isNaN(ratio)) return 1;
  return Math.min(MOST_FROM_RECORDS, Math.max(1 / MOST_FROM_RECORDS, ratio));
};

/** A pair moves with each of its parts. */
const moved = (compiled: Compiled, records: readonly RecordChance[]): Float64Array => {
  const ratios = new Map(records.map((record) => [record.cause, oddsRatio(record)]));
  return compiled.weights.map((weight, c) => {
    const { id, parts } = at(compiled.causes, c);
    return [id, ...parts].reduce((product, part) => product * (ratios.get(part) ?? 1), weight);
  });
};

const total = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0);

/** Lifts what lies below its floor and takes that from the rest in proportion, until nothing lies below. */
const lifted = (chances: Float64Array, floors: readonly number[]): Float64Array => {
  const low = floors.map((floor, c) => floor > 0 && at(chances, c) <= floor);
  const rest = chances.reduce((sum, chance, c) => sum + (low[c] === true ? 0 : chance), 0);
  const free = 1 - floors.reduce((sum, floor, c) => sum + (low[c] === true ? floor : 0), 0);
  const next = chances.map((chance, c) => (low[c] === true ? at(floors, c) : (chance * free) / rest));
  const settled = next.every((chance, c) => low[c] === true || chance >= at(floors, c));
  return settled ? next : lifted(next, floors);
};

/** Chances of the causes before the first answer; they sum to 1 over the compiled causes. */
export const prior = (compiled: Compiled, records: readonly RecordChance[]): Float64Array => {
  const weights = moved(compiled, records);
  const sum = total(weights);
  if (!(sum > 0)) throw new RangeError(`symptom ${compiled.symptom.id} has no cause with a weight`);
  const floors = compiled.causes.map(({ floor }, c) => (at(weights, c) > 0 ? floor : 0));
  return lifted(weights.map((weight) => weight / sum), floors);
};
