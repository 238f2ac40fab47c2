import type { Clock } from './clock.ts';

/** First moment an id of the platform can name: 2015-01-01T00:00Z, from the platform's reference, "Snowflakes". */
const EPOCH = 1_420_070_400_000n;

/** The smallest id given out at `ms`. */
export const idAt = (ms: number): string => ((BigInt(ms) - EPOCH) << 22n).toString();

/** The moment (ms) in which `id` was given out. */
export const momentOf = (id: string): number => Number((BigInt(id) >> 22n) + EPOCH);

/** Rising ids which carry the clock's moment, as the platform gives them out. */
export function idMaker(clock: Clock): () => string {
  let last = 0n;
  return () => {
    const fresh = BigInt(idAt(clock.now()));
    last = fresh > last ? fresh : last + 1n;
    return last.toString();
  };
}

export const older = (a: string, b: string): number => (BigInt(a) < BigInt(b) ? -1 : BigInt(a) > BigInt(b) ? 1 : 0);
