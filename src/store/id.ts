import { randomInt } from 'node:crypto';
import type { Instant } from '../time/instant.ts';

/** Makes ids: short, sortable by when they were made, fit for a button. */
export type Ids = (now: Instant) => string;

const TAIL = 36 ** 5;

/** Ids of one process: 9 characters of time, 5 that start at random and count up within a millisecond, so that order holds. */
export const createIds = (random: () => number = () => randomInt(TAIL / 2)): Ids => {
  let last = -1;
  let tail = 0;
  return (now) => {
    tail = now === last ? tail + 1 : random();
    last = now;
    return now.toString(36).padStart(9, '0') + tail.toString(36).padStart(5, '0');
  };
};
