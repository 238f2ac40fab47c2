/** Seeded random numbers for simulations: same seed, same figures. */
export type Random = {
  readonly uniform: () => number;
  readonly normal: () => number;
  readonly between: (low: number, high: number) => number;
  readonly chance: (p: number) => boolean;
  readonly pick: <T>(from: readonly T[]) => T;
  readonly exponential: (mean: number) => number;
};

export const seeded = (seed: number): Random => {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return {
    uniform,
    normal,
    between: (low, high) => low + (high - low) * uniform(),
    chance: (p) => uniform() < p,
    pick: (from) => from[Math.floor(uniform() * from.length)] as (typeof from)[number],
    exponential: (mean) => -mean * Math.log(1 - uniform()),
  };
};
