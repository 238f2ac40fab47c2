/** No beat answered for so long, or no session for so long, and the process is better started anew; in ms. */
export const LONGEST_SILENCE = 180_000;
export const LONGEST_ABSENCE = 300_000;

/** How a connection fares, told by its events; instants in ms of one steady clock. */
export type Pulse = {
  readonly found: () => void;
  readonly lost: () => void;
  /** The library mends a broken line by itself; this is for the day on which it believes all is well and hears nothing. */
  readonly isDeaf: (lastBeat: number, silence?: number, absence?: number) => boolean;
};

export const createPulse = (now: () => number = Date.now): Pulse => {
  let ready = false;
  let since = now();
  const turn = (to: boolean) => (): void => {
    if (ready === to && !to) return;
    ready = to;
    since = now();
  };
  return {
    found: turn(true),
    lost: turn(false),
    isDeaf: (lastBeat, silence = LONGEST_SILENCE, absence = LONGEST_ABSENCE) => (ready ? now() - Math.max(lastBeat, since) > silence : now() - since > absence),
  };
};
