/** `from` smoothed with a kernel of odd length; what would leave the ends is lost. */
export const blurred = (from: Float64Array, kernel: Float64Array): Float64Array => {
  const reach = (kernel.length - 1) / 2;
  const out = new Float64Array(from.length);
  for (let i = 0; i < from.length; i++) {
    const value = from[i] as number;
    if (value === 0) continue;
    const first = Math.max(0, i - reach);
    const last = Math.min(from.length - 1, i + reach);
    for (let j = first; j <= last; j++) out[j] = (out[j] as number) + value * (kernel[j - i + reach] as number);
  }
  return out;
};

/** Cell by cell, scaled so that the largest is 1: products of many chances must not vanish. */
export const product = (parts: readonly Float64Array[], length: number): Float64Array => {
  const out = new Float64Array(length).fill(1);
  for (const part of parts) {
    let largest = 0;
    for (let i = 0; i < length; i++) {
      const value = (out[i] as number) * (part[i] as number);
      out[i] = value;
      if (value > largest) largest = value;
    }
    if (largest === 0) throw new RangeError('these chances exclude each other everywhere on the grid');
    for (let i = 0; i < length; i++) out[i] = (out[i] as number) / largest;
  }
  return out;
};

/** Scaled so that the cells add up to 1. */
export const normalised = (weights: Float64Array): Float64Array => {
  let sum = 0;
  for (const weight of weights) sum += weight;
  if (!(sum > 0)) throw new RangeError('nothing to normalise: every weight is zero');
  return weights.map((weight) => weight / sum);
};

/** `count` evenly spaced values around a centre. */
export const evenly = (centre: number, halfWidth: number, count: number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => centre - halfWidth + (2 * halfWidth * i) / (count - 1));

/** The value below which this share of the weight lies, cells taken as even between their neighbours. */
export const quantile = (values: Float64Array, weights: Float64Array, share: number): number => {
  const step = values.length > 1 ? (values[1] as number) - (values[0] as number) : 0;
  let below = 0;
  for (let i = 0; i < values.length; i++) {
    const weight = weights[i] as number;
    if (below + weight >= share && weight > 0) return (values[i] as number) + step * ((share - below) / weight - 0.5);
    below += weight;
  }
  return values[values.length - 1] as number;
};

/** Weighted mean. */
export const mean = (values: Float64Array, weights: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i] as number) * (weights[i] as number);
  return sum;
};
