import { instant, type Instant } from '../time/instant.ts';
import { assumedDriving, drivingMs, straightKm, type Driving, type Place } from './distance.ts';
import type { Span } from './span.ts';

export type Stop = {
  readonly id: string;
  readonly place: Place;
  /** The visit is promised to begin in here; both ends count. */
  readonly promised: Span;
  readonly lengthMs: number;
  /** Goes before every stop that is none. */
  readonly danger: boolean;
};

export type Day = {
  readonly from: Place;
  readonly leaveAt: Instant;
  readonly stops: readonly Stop[];
  /** Where the day ends; null: at the last stop. */
  readonly to: Place | null;
};

export type RouteStop = {
  readonly id: string;
  readonly arrive: Instant;
  readonly begin: Instant;
  readonly leave: Instant;
  /** Past the promised window by this much, ms. */
  readonly lateMs: number;
};

export type Route = {
  /** `late`: no order keeps every promise; this one breaks them by the least time in all. */
  readonly kind: 'kept' | 'late';
  readonly stops: readonly RouteStop[];
  readonly km: number;
  readonly endsAt: Instant;
};

/** More stops than one person visits in a day are not ordered here. */
export const mostStops = 10;

type Label = {
  readonly stop: number;
  readonly lateMs: number;
  readonly km: number;
  readonly leave: number;
  readonly before: Label | null;
};

/**
 * Least time late in all, then least straight-line distance, then earliest end: exact, by dynamic programming over
 * the sets of stops already made. A later arrival can be the shorter drive, so every set keeps all its labels that no
 * other beats in lateness, distance and time at once.
 */
export const routeOf = (day: Day, driving: Driving = assumedDriving): Route | { readonly kind: 'too many stops' } => {
  const count = day.stops.length;
  if (count > mostStops) return { kind: 'too many stops' };
  const road = roadTable(day, driving);
  const labels: Label[][][] = Array.from({ length: 1 << count }, () => Array.from({ length: count }, () => []));
  for (let next = 0; next < count; next += 1) visit(day, road, labels, 0, null, next);
  for (let made = 1; made < 1 << count; made += 1) {
    for (const label of labels[made]?.flat() ?? []) {
      for (let next = 0; next < count; next += 1) visit(day, road, labels, made, label, next);
    }
  }
  const last = count === 0 ? [null] : (labels[(1 << count) - 1]?.flat() ?? []);
  return written(day, driving, last.map((label) => home(day, road, label)).toSorted(better)[0]);
};

type Leg = { readonly km: number; readonly ms: number };
type Road = { readonly out: readonly Leg[]; readonly between: readonly (readonly Leg[])[]; readonly home: readonly Leg[] };

const roadTable = (day: Day, driving: Driving): Road => {
  const leg = (from: Place, to: Place): Leg => ({ km: straightKm(from, to), ms: Math.round(drivingMs(from, to, driving)) });
  const places = day.stops.map((stop) => stop.place);
  return {
    out: places.map((to) => leg(day.from, to)),
    between: places.map((from) => places.map((to) => leg(from, to))),
    home: places.map((from) => (day.to === null ? { km: 0, ms: 0 } : leg(from, day.to))),
  };
};

const visit = (day: Day, road: Road, labels: Label[][][], made: number, label: Label | null, next: number): void => {
  const stop = day.stops[next];
  const leg = label === null ? road.out[next] : road.between[label.stop]?.[next];
  if (stop === undefined || leg === undefined || (made & (1 << next)) !== 0 || dangerWaits(day, made, stop)) return;
  const arrive = (label?.leave ?? day.leaveAt) + leg.ms;
  const reached: Label = {
    stop: next,
    lateMs: (label?.lateMs ?? 0) + Math.max(0, arrive - stop.promised.end),
    km: (label?.km ?? 0) + leg.km,
    leave: Math.max(arrive, stop.promised.start) + stop.lengthMs,
    before: label,
  };
  keep(labels[made | (1 << next)]?.[next] ?? [], reached);
};

const dangerWaits = (day: Day, made: number, stop: Stop): boolean =>
  !stop.danger && day.stops.some((other, i) => other.danger && (made & (1 << i)) === 0);

const keep = (kept: Label[], reached: Label): void => {
  const noWorse = (a: Label, b: Label): boolean => a.lateMs <= b.lateMs && a.km <= b.km && a.leave <= b.leave;
  if (kept.some((other) => noWorse(other, reached))) return;
  kept.splice(0, kept.length, ...kept.filter((other) => !noWorse(reached, other)), reached);
};

type Ended = { readonly label: Label | null; readonly lateMs: number; readonly km: number; readonly endsAt: number };

const home = (day: Day, road: Road, label: Label | null): Ended => {
  if (label === null) return { label, lateMs: 0, km: 0, endsAt: day.leaveAt };
  const leg = road.home[label.stop] ?? { km: 0, ms: 0 };
  return { label, lateMs: label.lateMs, km: label.km + leg.km, endsAt: label.leave + leg.ms };
};

const better = (a: Ended, b: Ended): number => a.lateMs - b.lateMs || a.km - b.km || a.endsAt - b.endsAt;

const written = (day: Day, driving: Driving, ended: Ended | undefined): Route => {
  if (ended === undefined) throw new Error('no order of stops was reached');
  const order: number[] = [];
  for (let label = ended.label; label !== null; label = label.before) order.unshift(label.stop);
  return { ...timed(day, order, driving), km: ended.km, endsAt: instant(ended.endsAt) };
};

const timed = (day: Day, order: readonly number[], driving: Driving): Pick<Route, 'kind' | 'stops'> => {
  const stops: RouteStop[] = [];
  let place = day.from;
  let leave: number = day.leaveAt;
  for (const stop of order.flatMap((i) => day.stops[i] ?? [])) {
    const arrive = leave + Math.round(drivingMs(place, stop.place, driving));
    const begin = Math.max(arrive, stop.promised.start);
    leave = begin + stop.lengthMs;
    place = stop.place;
    const lateMs = Math.max(0, arrive - stop.promised.end);
    stops.push({ id: stop.id, arrive: instant(arrive), begin: instant(begin), leave: instant(leave), lateMs });
  }
  return { kind: stops.every((stop) => stop.lateMs === 0) ? 'kept' : 'late', stops };
};
