import { setTimeout as pause } from 'node:timers/promises';

/** Waits for the work to end, however it ends, but for no longer than `ms`. True when it ended. */
export const bounded = async (work: Promise<unknown>, ms: number): Promise<boolean> => {
  const limit = new AbortController();
  const late = pause(ms, false, { signal: limit.signal }).catch(() => false);
  const ended = work.then(
    () => true,
    () => true,
  );
  const outcome = await Promise.race([ended, late]);
  limit.abort();
  return outcome;
};

/** A pause that ends at once when `signal` is aborted. */
export const pauseUnless = async (ms: number, signal: AbortSignal): Promise<void> => {
  await pause(ms, undefined, { signal }).catch(() => undefined);
};
