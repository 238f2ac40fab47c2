/** A moment on the world's clock: milliseconds since 1970-01-01T00:00Z. */
export type Instant = number & { readonly __instant: true };

export const instant = (ms: number): Instant => {
  if (!Number.isSafeInteger(ms)) throw new RangeError(`not an instant: ${ms}`);
  return ms as Instant;
};

export const minutes = (n: number): number => n * 60_000;
export const hours = (n: number): number => n * 3_600_000;
export const days = (n: number): number => n * 86_400_000;

/** `now` moved by `ms`, which may be negative. */
export const later = (now: Instant, ms: number): Instant => instant(Math.round(now + ms));
