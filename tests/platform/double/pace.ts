/** Requests allowed per stretch of real time. Real, because the client waits in real time for it. */
export type Pace = { readonly most: number; readonly perMs: number };
export type Verdict = { readonly headers: Readonly<Record<string, string>>; readonly wait?: { readonly seconds: number; readonly global: boolean } };
type Window = { used: number; endsAt: number };

const fresh = (windows: Map<string, Window>, key: string, pace: Pace, now: number): Window => {
  const found = windows.get(key);
  if (found && found.endsAt > now) return found;
  const window = { used: 0, endsAt: now + pace.perMs };
  windows.set(key, window);
  return window;
};

/** Counts like the platform: one window per bucket, one for the whole bot. `elapsed` is a steady clock in ms. */
export function newPacer(perRoute: Pace | undefined, whole: Pace | undefined, elapsed: () => number) {
  const windows = new Map<string, Window>();
  return (bucket: string, countsToWhole: boolean): Verdict => {
    const now = elapsed();
    const all = whole && countsToWhole ? fresh(windows, '', whole, now) : undefined;
    if (all && whole && ++all.used > whole.most) return { headers: { 'x-ratelimit-global': 'true', 'x-ratelimit-scope': 'global' }, wait: { seconds: (all.endsAt - now) / 1000, global: true } };
    if (!perRoute) return { headers: {} };
    const own = fresh(windows, bucket, perRoute, now);
    own.used += 1;
    const seconds = (own.endsAt - now) / 1000;
    const headers = {
      'x-ratelimit-limit': String(perRoute.most), 'x-ratelimit-remaining': String(Math.max(0, perRoute.most - own.used)),
      'x-ratelimit-reset-after': seconds.toFixed(3), 'x-ratelimit-reset': ((Date.now() + own.endsAt - now) / 1000).toFixed(3), 'x-ratelimit-bucket': bucket.replaceAll(/[^\w]/g, '-'),
    };
    return own.used > perRoute.most ? { headers: { ...headers, 'x-ratelimit-scope': 'user' }, wait: { seconds, global: false } } : { headers };
  };
}
