/** What is known of a connection at one moment; instants in ms of one steady clock. */
export type Pulse = { readonly ready: boolean; readonly readySince: number; readonly lostSince: number; readonly lastBeat: number };

/** No beat answered for so long, or no session for so long, and the process is better started anew. */
export const LONGEST_SILENCE = 180_000;
export const LONGEST_ABSENCE = 300_000;

/** The library mends a broken line by itself; this is for the day on which it believes all is well and hears nothing. */
export const isDeaf = ({ ready, readySince, lostSince, lastBeat }: Pulse, now: number, silence = LONGEST_SILENCE, absence = LONGEST_ABSENCE): boolean =>
  ready ? now - Math.max(lastBeat, readySince) > silence : now - lostSince > absence;
