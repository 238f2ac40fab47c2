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

/** Rows of one cause, mixed: what was read of that cause so far, and fresh ones for what came out of a pair. */
const mixInto = (rows: Float64Array, fresh: Float64Array, cause: number, causes: number, share: number): void => {
  const size = rows.length / causes;
  for (let i = cause * size; i < (cause + 1) * size; i += 1) rows[i] = (1 - share) * rows[i]! + share * fresh[i]!;
};

/**
 * Belief after a job was tried. A pair of which one part was ended goes over to the part that is left; for that part the
 * machine is as good as not yet looked at, so earlier readings do not count for it.
 */
export const afterTry = (compiled: Compiled, belief: Belief, job: string, result: TryResult): Belief => {
  const index = compiled.jobIndex.get(job);
  const cures = index === undefined ? new Float64Array(belief.mass.length) : at(compiled.jobs, index).cures;
  if (result === 'cured') return ended(compiled, belief, cures);
  const stayed = new Float64Array(belief.mass.length);
  const came = new Float64Array(belief.mass.length);
  belief.mass.forEach((mass, from) => {
    for (const { cause, chance } of leftAfter(compiled, cures, from, result)) {
      (cause === from ? stayed : came)[cause]! += mass * chance;
    }
  });
  const mass = stayed.map((x, c) => x + at(came, c));
  const moved = [...came.keys()].filter((c) => at(came, c) > 0);
  if (moved.length === 0) return { mass, rows: belief.rows };
  const rows = belief.rows.map((old, f) => {
    const next = old.slice();
    for (const c of moved) mixInto(next, at(compiled.facts, f).rows, c, mass.length, at(came, c) / at(mass, c));
    return next;
  });
  return { mass, rows };
};
