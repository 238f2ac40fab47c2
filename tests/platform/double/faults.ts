import type { RouteName } from './route-table.ts';

/** What goes wrong on the way. Only `lose answer` and `hold answer` happen after the work was done. */
export type Fault =
  | { readonly kind: 'lose answer'; readonly by: 'reset' | 'close' | '502' | 'silence' }
  | { readonly kind: 'reset' | 'close' | 'silence' | 'hold' | 'hold answer' }
  | { readonly kind: 'delay'; readonly ms: number }
  | { readonly kind: 'refuse'; readonly status: number; readonly code?: number; readonly message?: string }
  | { readonly kind: 'too many'; readonly retryAfter: number; readonly scope?: 'user' | 'global' | 'shared' };
export type Planted = {
  /** Resolves when the n-th request (from 1) has met the fault. */
  readonly met: (n?: number) => Promise<void>;
  /** Lets a held request go on. */
  readonly release: () => void;
  readonly fault: Fault;
  readonly released: Promise<void>;
};
export type Faults = {
  readonly plant: (route: RouteName, fault: Fault, times?: number) => Planted;
  /** The fault for this request, used up by asking. */
  readonly take: (route: string) => Planted | undefined;
  /** From here on it happens no more. */
  readonly stop: (planted: Planted) => void;
  readonly releaseAll: () => void;
};
type Waiting = { readonly n: number; readonly go: () => void };
type Set = { readonly planted: Planted; readonly route: string; left: number; met: number; waiting: Waiting[] };

export function newFaults(): Faults {
  const sets: Set[] = [];
  const plant = (route: RouteName, fault: Fault, times = 1): Planted => {
    let release = (): void => undefined;
    const released = new Promise<void>((resolve) => (release = resolve));
    const planted: Planted = { fault, released, release: () => release(), met: (n = 1) => met(n) };
    const set: Set = { planted, route, left: times, met: 0, waiting: [] };
    const met = (n: number): Promise<void> => (set.met >= n ? Promise.resolve() : new Promise((go) => set.waiting.push({ n, go })));
    sets.push(set);
    return planted;
  };
  const take = (route: string): Planted | undefined => {
    const set = sets.find((one) => one.route === route && one.left > 0);
    if (!set) return undefined;
    set.left -= 1;
    set.met += 1;
    for (const one of set.waiting) if (set.met >= one.n) one.go();
    return set.planted;
  };
  const stop = (planted: Planted): void => sets.filter((set) => set.planted === planted).forEach((set) => (set.left = 0));
  return { plant, take, stop, releaseAll: () => sets.forEach((set) => set.planted.release()) };
}
