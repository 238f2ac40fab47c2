/** What the double asks for the time; a test may hand in its own rehearsal clock. */
export type Clock = { readonly now: () => number };
/** A clock that stands still until a test moves it, so that deadlines are met or missed on purpose. */
export type HandClock = Clock & { readonly advance: (ms: number) => void };

export function handClock(start: number): HandClock {
  let now = start;
  return {
    now: () => now,
    advance: (ms) => {
      if (!(ms >= 0)) throw new RangeError(`time runs forward, not by ${ms} ms`);
      now += ms;
    },
  };
}
