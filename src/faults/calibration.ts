/** A case scored with the chances as they stood before it taught anything, and the cause found in the end. */
export type Scored = { readonly chances: Readonly<Record<string, number>>; readonly found: string };

/**
 * Mean over cases of the sum of squared distances between the chances and what was found (Brier, 1950): 0 when always
 * certain and right, 2 when always certain and wrong. NaN without cases.
 */
export const brierScore = (cases: readonly Scored[]): number => {
  const scores = cases.map(({ chances, found }) => {
    const missed = found in chances ? 0 : 1;
    return Object.entries(chances).reduce((sum, [cause, chance]) => sum + (chance - (cause === found ? 1 : 0)) ** 2, missed);
  });
  return scores.reduce((a, b) => a + b, 0) / scores.length;
};

/** Cases in which the likeliest cause had a chance between two edges: how likely it was said to be, how often it was. */
export type Bin = {
  readonly from: number;
  readonly to: number;
  readonly cases: number;
  /** Mean chance said; 0 without cases. */
  readonly said: number;
  /** Share in which it was the cause; 0 without cases. */
  readonly found: number;
};

const likeliest = ({ chances }: Scored): readonly [string, number] =>
  Object.entries(chances).reduce((best, entry) => (entry[1] > best[1] ? entry : best), ['', 0] as const);

/** What was said of the likeliest cause against what was found, in bins of equal width. */
export const saidAgainstFound = (cases: readonly Scored[], count: number): readonly Bin[] => {
  const tops = cases.map((it) => ({ top: likeliest(it), found: it.found }));
  return Array.from({ length: count }, (_, i) => {
    const [from, to] = [i / count, (i + 1) / count];
    const inside = tops.filter(({ top: [, chance] }) => chance >= from && (chance < to || (i === count - 1 && chance <= 1)));
    const share = (of: (it: (typeof inside)[number]) => number): number =>
      inside.length === 0 ? 0 : inside.reduce((sum, it) => sum + of(it), 0) / inside.length;
    return {
      from,
      to,
      cases: inside.length,
      said: share(({ top }) => top[1]),
      found: share(({ top, found }) => (top[0] === found ? 1 : 0)),
    };
  });
};

/** How far what was said lies from what was found, on average over the cases: 0 is calibrated. NaN without cases. */
export const calibrationGap = (bins: readonly Bin[]): number => {
  const all = bins.reduce((sum, { cases }) => sum + cases, 0);
  return bins.reduce((sum, { cases, said, found }) => sum + cases * Math.abs(said - found), 0) / all;
};
