import { instant, type Instant } from '../time/instant.ts';

/** First millisecond of 2015: the platform's ids count from it. */
const EPOCH = 1_420_070_400_000n;

/** The smallest id the platform could have given at that instant. */
export const idAt = (moment: Instant): string => String((BigInt(Math.max(0, Math.trunc(moment))) - EPOCH > 0n ? BigInt(Math.trunc(moment)) - EPOCH : 0n) << 22n);

export const momentOfId = (id: string): Instant => instant(Number((BigInt(id) >> 22n) + EPOCH));

/** Ids grow with time: negative when `a` is the older one. */
export const byAge = (a: string, b: string): number => (BigInt(a) < BigInt(b) ? -1 : BigInt(a) > BigInt(b) ? 1 : 0);
