import type { Throttler } from './client.ts';
import { createPace } from './pace.ts';
import { LONGEST_ABSENCE, LONGEST_SILENCE } from './watch.ts';

/** Waits and bounds, all in ms. */
export type Tuning = {
  /** How long a form may take to be made: it is the first answer, and that has to come within three seconds. */
  readonly formWait: number;
  /** Before the n-th further try (from 0) to reach the platform, or to read back what could not be read. */
  readonly retryPause: (tries: number) => number;
  readonly watchEvery: number;
  /** After so long without an answered beat, or without a session, the process is to be started anew. */
  readonly silence: number;
  readonly absence: number;
  readonly keepEvery: number;
  readonly checkEvery: number;
  /** Each step of stopping takes no longer than this. */
  readonly longestStep: number;
  /** Resolves when one more request may go out that the platform counts. */
  readonly pace: () => Promise<void>;
  /** What is asked before each login, in place of the usual patience. */
  readonly throttler?: Throttler;
};

/** 2 s, 4 s, … 5 min, each up to a quarter shorter by chance, so that many bots do not come back at once. */
const growing = (tries: number): number => Math.min(300_000, 2000 * 2 ** Math.min(tries, 8)) * (0.75 + Math.random() / 4);

export const usualTuning = (): Tuning => ({
  formWait: 1500, retryPause: growing, watchEvery: 30_000, silence: LONGEST_SILENCE, absence: LONGEST_ABSENCE, keepEvery: 20_000, checkEvery: 600_000, longestStep: 2000, pace: createPace(),
});
