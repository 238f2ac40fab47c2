/**
 * The closed form beside which the served grid is held: for a fixed shape `b`, `S(t) = exp(-r t^b)`
 * with `r ~ Gamma(a, c)`. Lives are failed at an age, or still sound at an age.
 */
export type Life = { readonly age: number; readonly failed: boolean };

export const gammaPosterior = (b: number, a: number, c: number, lives: readonly Life[]) => {
  const n = lives.filter((life) => life.failed).length;
  const v = lives.reduce((sum, life) => sum + life.age ** b, 0);
  return { shape: a + n, rate: c + v };
};

export const newRingSurvival = (t: number, b: number, posterior: { shape: number; rate: number }): number =>
  (posterior.rate / (posterior.rate + t ** b)) ** posterior.shape;

export const inServiceSurvival = (t: number, u: number, b: number, posterior: { shape: number; rate: number }): number =>
  (posterior.rate / (posterior.rate + t ** b - u ** b)) ** posterior.shape;

export const rateFromMedian = (median: number, b: number, a: number): number => median ** b / (2 ** (1 / a) - 1);

/** Lanczos approximation, from memory; good to about 1e-13. */
export const logGamma = (x: number): number => {
  const g = [676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406, 12.507343278686905, -0.13857109526572012, 9.984369578019572e-6, 1.5056327351493116e-7];
  const y = x - 1;
  const t = y + 7.5;
  const sum = g.reduce((s, c, i) => s + c / (y + i + 1), 0.9999999999998099);
  return 0.5 * Math.log(2 * Math.PI) + (y + 0.5) * Math.log(t) - t + Math.log(sum);
};

export const logShapeWeight = (b: number, a: number, c: number, lives: readonly Life[]): number => {
  const failed = lives.filter((life) => life.failed);
  const v = lives.reduce((sum, life) => sum + life.age ** b, 0);
  const logs = failed.reduce((sum, life) => sum + Math.log(life.age), 0);
  const n = failed.length;
  return n * Math.log(b) + (b - 1) * logs + a * Math.log(c) - logGamma(a) + logGamma(a + n) - (a + n) * Math.log(c + v);
};

/** The likelihood left over when the prior's weight goes to nothing (a = c = 0). */
export const logShapeWeightWithoutPrior = (b: number, lives: readonly Life[]): number => {
  const failed = lives.filter((life) => life.failed);
  const v = lives.reduce((sum, life) => sum + life.age ** b, 0);
  const logs = failed.reduce((sum, life) => sum + Math.log(life.age), 0);
  return failed.length * Math.log(b) + (b - 1) * logs - failed.length * Math.log(v);
};
