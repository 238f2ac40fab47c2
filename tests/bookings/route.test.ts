import { describe, expect, test } from 'vitest';
import { hours, instant, later, minutes } from '../../src/time/instant.ts';
import { assumedDriving, drivingMs, straightKm, type Place } from '../../src/bookings/distance.ts';
import { routeOf, type Day, type Stop } from '../../src/bookings/route.ts';
import { draws, type Draws } from './draws.ts';

const place = (latitude: number, longitude: number): Place => ({ latitude, longitude });

describe('great-circle distance', () => {
  // A sphere of the mean radius 6371.0088 km: a quarter of a meridian and one degree of it, by arithmetic.
  test('pole to equator, and one degree', () => {
    expect(straightKm(place(90, 0), place(0, 33))).toBeCloseTo((Math.PI / 2) * 6371.0088, 6);
    expect(straightKm(place(0, 0), place(0, 1))).toBeCloseTo(111.1951, 4);
  });

  // Worked example often printed for the haversine formula: 36.12 N 86.67 W to 33.94 N 118.40 W on a radius of 6372.8 km
  // is 2887.26 km (from memory).
  test('the usual worked example, scaled to its radius', () => {
    expect(straightKm(place(36.12, -86.67), place(33.94, -118.4)) * (6372.8 / 6371.0088)).toBeCloseTo(2887.26, 2);
  });

  test('agrees with the angle between two vectors, also across the date line and at opposite points', () => {
    const draw = draws(20281);
    const vector = (at: Place) => {
      const [north, east] = [(at.latitude * Math.PI) / 180, (at.longitude * Math.PI) / 180];
      return [Math.cos(north) * Math.cos(east), Math.cos(north) * Math.sin(east), Math.sin(north)] as const;
    };
    const angle = (a: Place, b: Place) => {
      const [u, v] = [vector(a), vector(b)];
      const cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
      return Math.atan2(Math.hypot(...cross), u[0] * v[0] + u[1] * v[1] + u[2] * v[2]);
    };
    for (let i = 0; i < 500; i += 1) {
      const [a, b] = [0, 1].map(() => place(180 * draw.unit() - 90, 360 * draw.unit() - 180)) as [Place, Place];
      expect(straightKm(a, b)).toBeCloseTo(6371.0088 * angle(a, b), 3);
    }
    expect(straightKm(place(0, 179.9), place(0, -179.9))).toBeCloseTo(0.2 * 111.1951, 3);
  });

  test('staying where one is takes no time, not even for parking', () => {
    expect(drivingMs(place(39.47, -0.38), place(39.47, -0.38))).toBe(0);
  });
});

const start = instant(Date.UTC(2026, 9, 13, 6));

const randomDay = (draw: Draws, count: number): Day => ({
  from: place(39.47, -0.38),
  leaveAt: start,
  to: draw.below(2) === 0 ? null : place(39.47, -0.38),
  stops: Array.from({ length: count }, (_, i): Stop => {
    const opens = later(start, minutes(15 * draw.below(24)));
    return {
      id: `s${i}`,
      place: place(39.4 + 0.15 * draw.unit(), -0.45 + 0.15 * draw.unit()),
      promised: { start: opens, end: later(opens, minutes(draw.one([30, 60, 120, 600]))) },
      lengthMs: minutes(draw.one([20, 40, 60])),
      danger: draw.below(8) === 0,
    };
  }),
});

const permutations = (n: number): readonly (readonly number[])[] =>
  n === 0 ? [[]] : permutations(n - 1).flatMap((order) => Array.from({ length: n }, (_, at) => [...order.slice(0, at), n - 1, ...order.slice(at)]));

/** Lateness and distance of one order, driven stop by stop. */
const driven = (day: Day, order: readonly number[]): { lateMs: number; km: number; legal: boolean } => {
  let [at, lateMs, km, here] = [day.leaveAt as number, 0, 0, day.from];
  const dangers = order.map((i) => day.stops[i]?.danger ?? false);
  for (const stop of order.flatMap((i) => day.stops[i] ?? [])) {
    at += Math.round(drivingMs(here, stop.place, assumedDriving));
    lateMs += Math.max(0, at - stop.promised.end);
    at = Math.max(at, stop.promised.start) + stop.lengthMs;
    km += straightKm(here, stop.place);
    here = stop.place;
  }
  if (day.to !== null && order.length > 0) km += straightKm(here, day.to);
  return { lateMs, km, legal: dangers.every((danger, i) => !danger || i === 0 || dangers[i - 1] === true) };
};

const exhaustive = (day: Day) =>
  permutations(day.stops.length)
    .map((order) => driven(day, order))
    .filter((one) => one.legal)
    .reduce((best, one) => (one.lateMs < best.lateMs || (one.lateMs === best.lateMs && one.km < best.km) ? one : best));

const compare = (day: Day) => {
  const route = routeOf(day);
  if (route.kind === 'too many stops') throw new Error('too many');
  const best = exhaustive(day);
  expect(route.stops.reduce((sum, stop) => sum + stop.lateMs, 0)).toBe(best.lateMs);
  expect(route.km).toBeCloseTo(best.km, 6);
  expect(route.kind).toBe(best.lateMs === 0 ? 'kept' : 'late');
  const order = route.stops.map((stop) => day.stops.findIndex((one) => one.id === stop.id));
  expect(driven(day, order)).toMatchObject({ legal: true, lateMs: best.lateMs });
  return route;
};

describe('order of visits', () => {
  test('equal to trying every order, with windows, up to seven stops', () => {
    const draw = draws(20282);
    const kinds = { kept: 0, late: 0 };
    for (let run = 0; run < 120; run += 1) kinds[compare(randomDay(draw, draw.below(run % 10 === 0 ? 8 : 7))).kind] += 1;
    expect(Math.min(kinds.kept, kinds.late)).toBeGreaterThan(20);
  });

  test('equal to trying all 40,320 orders of eight stops', () => {
    const draw = draws(20283);
    for (let run = 0; run < 3; run += 1) compare(randomDay(draw, 8));
  });

  test('without windows it is the shortest drive', () => {
    const draw = draws(20284);
    const whole = { start, end: later(start, hours(48)) };
    for (let run = 0; run < 20; run += 1) {
      const day = randomDay(draw, 6);
      const route = compare({ ...day, stops: day.stops.map((stop) => ({ ...stop, promised: whole, danger: false })) });
      expect(route.kind).toBe('kept');
    }
  });

  test('a danger is visited first even when that breaks a promise to a drip, and it is said', () => {
    const far = place(39.6, -0.2);
    const near = place(39.471, -0.381);
    const now = { start, end: later(start, minutes(20)) };
    const day: Day = {
      from: place(39.47, -0.38),
      leaveAt: start,
      to: null,
      stops: [
        { id: 'drip', place: near, promised: now, lengthMs: minutes(30), danger: false },
        { id: 'steam', place: far, promised: { start, end: later(start, hours(4)) }, lengthMs: minutes(30), danger: true },
      ],
    };
    const route = routeOf(day);
    expect(route).toMatchObject({ kind: 'late', stops: [{ id: 'steam', lateMs: 0 }, { id: 'drip' }] });
    expect(routeOf({ ...day, stops: day.stops.map((stop) => ({ ...stop, danger: false })) })).toMatchObject({ kind: 'kept', stops: [{ id: 'drip' }, { id: 'steam' }] });
  });

  test('times follow from each other: nobody begins before arriving or before the promised time', () => {
    const draw = draws(20285);
    for (let run = 0; run < 50; run += 1) {
      const day = randomDay(draw, 6);
      const route = routeOf(day);
      if (route.kind === 'too many stops') throw new Error('too many');
      route.stops.forEach((stop, i) => {
        const asked = day.stops.find((one) => one.id === stop.id);
        expect(stop.arrive).toBeGreaterThan(route.stops[i - 1]?.leave ?? day.leaveAt);
        expect(stop.begin).toBe(Math.max(stop.arrive, asked?.promised.start ?? 0));
        expect(stop.leave - stop.begin).toBe(asked?.lengthMs);
      });
      expect(route.endsAt).toBeGreaterThanOrEqual(route.stops.at(-1)?.leave ?? 0);
    }
  });

  test('ten stops are ordered, eleven are refused, none is a day at home', () => {
    const draw = draws(20286);
    const ten = routeOf(randomDay(draw, 10));
    expect(ten.kind === 'too many stops' ? 0 : ten.stops.length).toBe(10);
    expect(routeOf(randomDay(draw, 11))).toEqual({ kind: 'too many stops' });
    expect(routeOf({ ...randomDay(draw, 0), to: null })).toEqual({ kind: 'kept', stops: [], km: 0, endsAt: start });
  });
});
