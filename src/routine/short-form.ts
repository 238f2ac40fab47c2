import { days, later, type Instant } from '../time/instant.ts';

/** A closing list and who answered on it; nobody: nobody was heard. */
export type Closing = { readonly at: Instant; readonly names: readonly string[] };
export type Form = 'short' | 'long';

const WINDOW_DAYS = 28;
/** So many closings at least, of which so large a share was answered: judgement, no source. */
const LEAST_CLOSINGS = 16;
const ANSWERED = 0.9;

/**
 * Short after four weeks of regular answers; long again when half of those who answered lately were not heard before.
 * `closings`: those of the last eight weeks or more.
 */
export const formFor = (closings: readonly Closing[], now: Instant): Form => {
  const since = later(now, -days(WINDOW_DAYS));
  const recent = closings.filter(({ at }) => at >= since);
  const before = closings.filter(({ at }) => at < since);
  const answered = recent.filter(({ names }) => names.length > 0);
  if (before.length === 0 || recent.length < LEAST_CLOSINGS || answered.length < ANSWERED * recent.length) return 'long';
  const known = new Set(before.flatMap(({ names }) => names));
  const heard = new Set(answered.flatMap(({ names }) => names));
  const fresh = Array.from(heard).filter((name) => !known.has(name));
  return fresh.length * 2 >= heard.size ? 'long' : 'short';
};
