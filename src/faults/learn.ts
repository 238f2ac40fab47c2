import { absorb, lastReadings, likelihoodOf, start } from './belief.ts';
import type { Compiled } from './compiled.ts';
import { at, compile } from './compiled.ts';
import type { Case, Model, Reading } from './model.ts';
import { oddsRatio } from './prior.ts';
import { cureChance, leftAfter } from './tries.ts';

/** Weight of what was elicited, in cases: of a symptom's causes together, and of one job's chance under one cause. */
export const PRIOR_CASES = { causes: 30, cure: 8 } as const;

/** Share of technicians' findings that name another cause than the true one (assumed). */
export const LABEL_ERROR = 0.08;

/** A job counts as a cure only when it has not come back for so long (assumed). */
export const HELD_DAYS = 7;

/** A case that is over: its readings with what each job came to, and what a technician found, if one came. */
export type ClosedCase = { readonly case: Case; readonly found: string | null };

/** What cases have taught: chances of the causes of each symptom, and of each job under each single cause. */
export type Learned = {
  readonly weights: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly cures: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly cases: number;
};

/** Readings as they count when the fault came back within the days it should have held: what seemed cured was not. */
export const cameBack = (readings: readonly Reading[]): readonly Reading[] =>
  readings.map((it) => (it.kind === 'tried' && it.result === 'cured' ? { ...it, result: 'same' } : it));

type Tried = Extract<Reading, { readonly kind: 'tried' }>;

/** One case made ready: everything that does not change while learning. */
type Ready = {
  readonly compiled: Compiled;
  /** Chance of the answers, the finding and the records' tilt under each cause. */
  readonly likelihood: Float64Array;
  readonly tries: readonly Tried[];
};

/** Chance that a technician names a cause when another, or a pair, is the true one. */
const labelled = ({ causes }: Compiled, found: string, c: number): number => {
  const { id, parts } = at(causes, c);
  if (parts.includes(found)) return (1 - LABEL_ERROR) / 3;
  if (id === found) return parts.length > 0 ? (1 - LABEL_ERROR) / 3 : 1 - LABEL_ERROR;
  return LABEL_ERROR / Math.max(1, causes.length - 1);
};

/** Chance of the answers and records under each cause; jobs tried are reckoned apart, with what is learned of them. */
const answered = (compiled: Compiled, readings: readonly Reading[]): Float64Array => {
  const ones = new Float64Array(compiled.causes.length).fill(1);
  const told = readings.flatMap((it) => likelihoodOf(compiled, it) ?? []);
  return told.reduce((belief, it) => absorb(compiled, belief, it.fact, it.likelihood), start(compiled, ones)).mass;
};

const ready = (model: Model, { case: { symptom, readings, records }, found }: ClosedCase): Ready => {
  const compiled = compile(model, symptom);
  const last = lastReadings(readings);
  const tilts = new Map(records.map((record) => [record.cause, oddsRatio(record)]));
  const likelihood = answered(compiled, last).map((chance, c) => {
    const { id, parts } = at(compiled.causes, c);
    const tilt = [id, ...parts].reduce((product, part) => product * (tilts.get(part) ?? 1), 1);
    return chance * tilt * (found === null ? 1 : labelled(compiled, found, c));
  });
  return { compiled, likelihood, tries: last.filter((it) => it.kind === 'tried') };
};

type Chances = { readonly weights: Map<string, Float64Array>; readonly cures: Map<string, Map<string, number>> };

const curesOf = ({ compiled, tries }: Ready, { cures }: Chances): ReadonlyMap<string, Float64Array> =>
  new Map(
    tries.map(({ job }) => [job, Float64Array.from(compiled.causes, ({ id }) => cures.get(job)?.get(id) ?? 0)]),
  );

/** Chance of what the jobs came to when a cause was the true one, through what was left of a pair. */
const triedChance = (of: Ready, cures: ReadonlyMap<string, Float64Array>, cause: number): number => {
  let left = new Map([[cause, 1]]);
  for (const { job, result } of of.tries) {
    const chances = cures.get(job) ?? new Float64Array(of.compiled.causes.length);
    const after = new Map<number, number>();
    for (const [from, chance] of left) {
      if (result === 'cured') after.set(from, (after.get(from) ?? 0) + chance * cureChance(of.compiled, chances, from));
      else for (const to of leftAfter(of.compiled, chances, from, result)) after.set(to.cause, (after.get(to.cause) ?? 0) + chance * to.chance);
    }
    left = after;
  }
  return [...left.values()].reduce((a, b) => a + b, 0);
};

/** How likely each cause was in one case, by what is believed so far; sums to 1, or to 0 for a case nothing explains. */
const responsibility = (of: Ready, chances: Chances): Float64Array => {
  const weights = chances.weights.get(of.compiled.symptom.id);
  const cures = curesOf(of, chances);
  const joint = of.likelihood.map((x, c) => (weights === undefined ? 0 : x * at(weights, c) * triedChance(of, cures, c)));
  const sum = joint.reduce((a, b) => a + b, 0);
  return sum > 0 ? joint.map((x) => x / sum) : joint;
};

const normalised = (values: Float64Array): Float64Array => {
  const sum = values.reduce((a, b) => a + b, 0);
  return values.map((x) => x / sum);
};

const elicited = (model: Model): Chances => ({
  weights: new Map(model.symptoms.map(({ id }) => [id, normalised(compile(model, id).weights)])),
  cures: new Map(model.jobs.map(({ id, cures }) => [id, new Map(Object.entries(cures))])),
});

/** Counts to which the elicited chances are added as if they were cases. */
type Counts = { readonly causes: Map<string, Float64Array>; readonly cured: Map<string, number>; readonly tried: Map<string, number> };

const add = (counts: Map<string, number>, key: string, amount: number): void => {
  counts.set(key, (counts.get(key) ?? 0) + amount);
};

const countInto = (counts: Counts, { compiled, tries }: Ready, share: Float64Array): void => {
  const { id } = compiled.symptom;
  const so_far = counts.causes.get(id) ?? new Float64Array(share.length);
  counts.causes.set(id, so_far.map((x, c) => x + at(share, c)));
  for (const { job, result } of tries) {
    compiled.causes.forEach(({ id: cause, parts }, c) => {
      if (parts.length > 0) return;
      add(counts.tried, `${job} ${cause}`, at(share, c));
      if (result === 'cured') add(counts.cured, `${job} ${cause}`, at(share, c));
    });
  }
};

const blended = (model: Model, prior: Chances, counts: Counts): Chances => ({
  weights: new Map(
    [...prior.weights].map(([id, weights]) => {
      const seen = counts.causes.get(id);
      return [id, normalised(weights.map((weight, c) => PRIOR_CASES.causes * weight + (weight === 0 ? 0 : (seen?.[c] ?? 0))))];
    }),
  ),
  cures: new Map(
    model.jobs.map(({ id, cures }) => {
      const learned = Object.entries(cures).map(([cause, chance]): [string, number] => {
        const key = `${id} ${cause}`;
        // A job that cannot end a cause does not learn to: that is a rule, not an estimate.
        if (chance === 0) return [cause, 0];
        return [cause, (PRIOR_CASES.cure * chance + (counts.cured.get(key) ?? 0)) / (PRIOR_CASES.cure + (counts.tried.get(key) ?? 0))];
      });
      return [id, new Map(learned)];
    }),
  ),
});

const furthest = (a: Chances, b: Chances): number =>
  Math.max(
    0,
    ...[...a.weights].flatMap(([id, weights]) => Array.from(weights, (x, c) => Math.abs(x - at(b.weights.get(id) ?? weights, c)))),
    ...[...a.cures].flatMap(([job, cures]) => [...cures].map(([cause, x]) => Math.abs(x - (b.cures.get(job)?.get(cause) ?? x)))),
  );

const SETTLED = 1e-6;
const MOST_ROUNDS = 500;

/**
 * Learns from all closed cases by expectation-maximisation: a technician's finding is a label that may be wrong, a job that
 * ended a case a weaker one, and a case without either still counts by its answers. Counting findings alone would stay
 * wrong for ever, because only what staff could not end is ever found by a technician.
 */
export const learn = (model: Model, closed: readonly ClosedCase[]): Learned => {
  const known = new Set(model.symptoms.map(({ id }) => id));
  const cases = closed.filter((it) => known.has(it.case.symptom)).map((it) => ready(model, it));
  const prior = elicited(model);
  let chances = prior;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const counts: Counts = { causes: new Map(), cured: new Map(), tried: new Map() };
    for (const it of cases) countInto(counts, it, responsibility(it, chances));
    const next = blended(model, prior, counts);
    const moved = furthest(chances, next);
    chances = next;
    if (moved < SETTLED) break;
  }
  return asLearned(model, chances, cases.length);
};

const asLearned = (model: Model, { weights, cures }: Chances, cases: number): Learned => ({
  weights: Object.fromEntries(
    model.symptoms.map(({ id, causes }) => [id, Object.fromEntries(causes.map(({ cause }, c) => [cause, weights.get(id)?.[c] ?? 0]))]),
  ),
  cures: Object.fromEntries([...cures].map(([job, chances]) => [job, Object.fromEntries(chances)])),
  cases,
});

/** The model with what was learned in place of what was elicited; what nothing was learned about stays. */
export const withLearned = (model: Model, { weights, cures }: Learned): Model => ({
  ...model,
  symptoms: model.symptoms.map((symptom) => ({
    ...symptom,
    causes: symptom.causes.map(({ cause, weight }) => ({ cause, weight: weights[symptom.id]?.[cause] ?? weight })),
  })),
  jobs: model.jobs.map((job) => ({ ...job, cures: { ...job.cures, ...cures[job.id] } })),
});
