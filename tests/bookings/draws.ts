/** A small repeatable source of random numbers, so that a failing case can be run again from its seed. */
export const draws = (seed: number) => {
  let state = seed >>> 0;
  const unit = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
  const below = (n: number): number => Math.floor(unit() * n);
  const one = <T>(of: readonly T[]): T => {
    const drawn = of[below(of.length)];
    if (drawn === undefined) throw new Error('drawn from nothing');
    return drawn;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(unit() + 1e-12)) * Math.cos(2 * Math.PI * unit());
  return { unit, below, one, normal };
};

export type Draws = ReturnType<typeof draws>;
