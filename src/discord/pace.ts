import { setTimeout as pause } from 'node:timers/promises';

export type PaceNeeds = { readonly most?: number; readonly perMs?: number; readonly elapsed?: () => number; readonly wait?: (ms: number) => Promise<void> };

/** Below the platform's 50 a second for a whole bot, with room left for what is not sent by the sender. */
const MOST = 40;

/**
 * Lets at most `most` requests begin in any stretch of `perMs`, in the order in which they asked. Acknowledgements and
 * answers to presses do not come through here: the platform does not count them.
 */
export const createPace = ({ most = MOST, perMs = 1000, elapsed = () => performance.now(), wait = async (ms) => pause(ms) }: PaceNeeds = {}): (() => Promise<void>) => {
  const begun: number[] = [];
  let line: Promise<void> = Promise.resolve();
  const turn = async (): Promise<void> => {
    const first = begun.length < most ? undefined : begun.shift();
    const ready = first === undefined ? 0 : first + perMs - elapsed();
    if (ready > 0) await wait(Math.ceil(ready));
    begun.push(elapsed());
  };
  return () => {
    line = line.then(turn);
    return line;
  };
};
