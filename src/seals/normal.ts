/** Ten per cent of a standard normal lie above this, ten per cent below its negative. */
export const Z80 = 1.2815515655446004;

const top = [3.52624965998911e-2, 0.700383064443688, 6.37396220353165, 33.912866078383, 112.079291497871, 221.213596169931, 220.206867912376];
const bottom = [8.83883476483184e-2, 1.75566716318264, 16.064177579207, 86.7807322029461, 296.564248779674, 637.333633378831, 793.826512519948, 440.413735824752];

const polynomial = (coefficients: readonly number[], x: number): number => {
  let sum = 0;
  for (const c of coefficients) sum = sum * x + c;
  return sum;
};

const upperTail = (x: number): number => {
  const e = Math.exp((-x * x) / 2);
  if (x < 7.07106781186547) return (e * polynomial(top, x)) / polynomial(bottom, x);
  return e / (x + 1 / (x + 2 / (x + 3 / (x + 4 / (x + 0.65))))) / 2.506628274631;
};

/** Chance that a standard normal lies below `z`, to about 1e-15 (Hart's rational fit, published by West 2005, from memory). */
export const normalBelow = (z: number): number => {
  if (z > 37) return 1;
  if (z < -37) return 0;
  return z > 0 ? 1 - upperTail(z) : upperTail(-z);
};

/** Weights of a normal with this spread, in cells, cut at four spreads; they add up to 1. */
export const normalKernel = (spreadInCells: number): Float64Array => {
  const reach = Math.max(0, Math.ceil(4 * spreadInCells));
  const kernel = new Float64Array(2 * reach + 1);
  let sum = 0;
  for (let i = -reach; i <= reach; i++) {
    const edge = spreadInCells === 0 ? 1 : normalBelow((i + 0.5) / spreadInCells) - normalBelow((i - 0.5) / spreadInCells);
    kernel[i + reach] = edge;
    sum += edge;
  }
  return kernel.map((weight) => weight / sum);
};
