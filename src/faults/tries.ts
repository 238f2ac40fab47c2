import type { Belief } from './belief.ts';
import type { Compiled } from './compiled.ts';
import { at } from './compiled.ts';

/** Chance that people call it "better" when nothing was ended, and when one of two causes was (assumed). */
export const SEEMS_BETTER = 0.1;
export const ONE_GONE_SEEMS_BETTER = 0.9;

export type TryResult = 'cured' | 'better' | 'same';

/** Chance to end a cause with a job: a pair is ended when both parts are. */
export const cureChance = ({ pairs }: Compiled, cures: Float64Array, cause: number): number => {
  const parts = at(pairs, cause);
  return parts === null ? at(cures, cause) : at(cures, parts[0]) * at(cures, parts[1]);
};

/** What can be left of a cause after a job: the cause that remains, and the chance of that with this result. */
export const leftAfter = (
  { pairs }: Compiled,
  cures: Float64Array,
  cause: number,
  result: Exclude<TryResult, 'cured'>,
): readonly { readonly cause: number; readonly chance: number }[] => {
  const none = result === 'better' ? SEEMS_BETTER : 1 - SEEMS_BETTER;
  const one = result === 'better' ? ONE_GONE_SEEMS_BETTER : 1 - ONE_GONE_SEEMS_BETTER;
  const parts = at(pairs, cause);
  if (parts === null) return [{ cause, chance: (1 - at(cures, cause)) * none }];
  const [a, b] = [at(cures, parts[0]), at(cures, parts[1])];
  return [
    { cause, chance: (1 - a) * (1 - b) * none },
    { cause: parts[1], chance: a * (1 - b) * one },
    { cause: parts[0], chance: b * (1 - a) * one },
  ];
};

const ended = (compiled: Compiled, belief: Belief, cures: Float64Array): Belief => ({
  mass: belief.mass.map((mass, c) => mass * cureChance(compiled, cures, c)),
  rows: belief.rows,
});

/**
 * Beliefs after a job was tried, each with its share of the mass: first the causes that stayed what they were, then, if
 * any, the parts left over of pairs. For those the machine is as good as not yet looked at: earlier readings told of the
 * pair.
 */
export const afterTry = (compiled: Compiled, belief: Belief, job: string, result: TryResult): readonly Belief[] => {
  const index = compiled.jobIndex.get(job);
  const cures = index === undefined ? new Float64Array(belief.mass.length) : at(compiled.jobs, index).cures;
  if (result === 'cured') return [ended(compiled, belief, cures)];
  const stayed = new Float64Array(belief.mass.length);
  const came = new Float64Array(belief.mass.length);
  belief.mass.forEach((mass, from) => {
    for (const { cause, chance } of leftAfter(compiled, cures, from, result)) {
      (cause === from ? stayed : came)[cause]! += mass * chance;
    }
  });
  const same: Belief = { mass: stayed, rows: belief.rows };
  return came.some((mass) => mass > 0) ? [same, { mass: came, rows: compiled.facts.map(({ rows }) => rows) }] : [same];
};

/** Rows of all causes, mixed by the share of each cause's mass that lies with the second. */
const mixed = (a: Float64Array, b: Float64Array, shares: Float64Array): Float64Array => {
  const size = a.length / shares.length;
  return a.map((x, i) => {
    const share = at(shares, Math.floor(i / size));
    return share === 0 ? x : (1 - share) * x + share * at(b, i);
  });
};

const joined = (a: Belief, b: Belief): Belief => {
  const mass = a.mass.map((x, c) => x + at(b.mass, c));
  const shares = b.mass.map((x, c) => (x === 0 ? 0 : x / at(mass, c)));
  return { mass, rows: a.rows.map((rows, f) => (rows === at(b.rows, f) ? rows : mixed(rows, at(b.rows, f), shares))) };
};

/** Several beliefs as one. Chances of causes and of any one fact are exact; of several facts together they are near. */
export const together = (beliefs: readonly Belief[]): Belief => beliefs.reduce(joined);
