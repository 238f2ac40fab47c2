import { instant, type Instant } from './instant.ts';

export type Clock = { readonly now: () => Instant };

export const systemClock: Clock = { now: () => instant(Date.now()) };

/** A clock for demos, training and tests: it starts where told, runs `speed` times as fast, and can be moved on. */
export type RehearsalClock = Clock & {
  readonly speed: number;
  /** Moves the clock on to `to`; never back. */
  readonly moveTo: (to: Instant) => void;
};

export const rehearsalClock = (start: Instant, speed: number, real: () => number = Date.now): RehearsalClock => {
  let base: number = start;
  let since = real();
  const now = (): Instant => instant(Math.floor(base + (real() - since) * speed));
  return {
    speed,
    now,
    moveTo: (to) => {
      base = Math.max(to, now());
      since = real();
    },
  };
};

/** `2027-03-27T15:00:00Z/600`: start and speed. Undefined when it is not that. A speed of 0 stands still. */
export const parseRehearsal = (text: string): { readonly start: Instant; readonly speed: number } | undefined => {
  const found = /^(\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?Z)(?:\/(\d{1,6}(?:\.\d+)?))?$/.exec(text.trim());
  if (!found) return undefined;
  const ms = Date.parse(found[1] ?? '');
  return Number.isNaN(ms) ? undefined : { start: instant(ms), speed: Number(found[2] ?? 1) };
};
