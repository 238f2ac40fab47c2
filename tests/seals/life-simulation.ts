import type { SealConstants } from '../../src/seals/constants.ts';
import type { GroupRecord } from '../../src/seals/life.ts';
import type { RingEnd, RingLook, RingRecord } from '../../src/seals/ring-evidence.ts';
import type { Random } from './random.ts';

/** What a simulated fleet is truly like. */
export type Fleet = {
  readonly centre: number;
  readonly cafeSpread: number;
  readonly groupSpread: number;
  /** Draws a life with this median. */
  readonly life: (medianDays: number, random: Random) => number;
  readonly shape: number;
};

export const weibullLife =
  (shape: number) =>
  (medianDays: number, random: Random): number =>
    medianDays * (-Math.log(1 - random.uniform()) / Math.LN2) ** (1 / shape);

export const weibullFleet = (medianDays: number, shape: number, c: SealConstants): Fleet => ({
  centre: Math.log(medianDays),
  cafeSpread: c.life.cafeSpread,
  groupSpread: c.life.groupSpread,
  life: weibullLife(shape),
  shape,
});

/** A fleet drawn from what the constants assume: one shape for all its rings. */
export const assumedFleet = (c: SealConstants, random: Random): Fleet => {
  let u = random.uniform();
  const shape = c.life.shapes.find((_, i) => (u -= c.life.shapeWeights[i] as number) < 0) ?? 3;
  return weibullFleet(c.life.medianDays, shape, c);
};

export const lognormalFleet = (medianDays: number, logSpread: number, c: SealConstants): Fleet => ({
  ...weibullFleet(medianDays, Number.NaN, c),
  life: (median, random) => median * Math.exp(logSpread * random.normal()),
});

export type TrueRing = { readonly failsOn: number; readonly leaksOn: number };

export const drawRing = (fleet: Fleet, median: number, c: SealConstants, random: Random): TrueRing => {
  const failsOn = fleet.life(median, random);
  return { failsOn, leaksOn: failsOn + random.exponential(c.looks.leakAfterDays) };
};

const LOOK_EVERY = 7;
/** One look in five is left out. */
const LOOK_KEPT = 0.8;

/** Looks on the weeks that were kept, misread as often as the constants say. */
export const looksUntil = (ring: TrueRing, day: number, c: SealConstants, random: Random): readonly RingLook[] => {
  const looks: RingLook[] = [];
  for (let at = LOOK_EVERY; at <= day; at += LOOK_EVERY) {
    if (!random.chance(LOOK_KEPT)) continue;
    const bad = random.chance(at > ring.failsOn ? c.looks.badWhenFailed : c.looks.badWhenSound);
    looks.push({ day: at, read: bad ? 'bad' : 'sound' });
  }
  return looks;
};

const confirmedOn = (looks: readonly RingLook[]): number => {
  const second = looks.findIndex((look, i) => look.read === 'bad' && looks[i - 1]?.read === 'bad');
  return second < 0 ? Number.POSITIVE_INFINITY : (looks[second]?.day as number);
};

/** A ring from new to its end: it leaks, or two looks running are bad, or its planned day comes. */
export const watch = (ring: TrueRing, plannedDay: number, c: SealConstants, random: Random): RingRecord => {
  const looks = looksUntil(ring, Math.min(plannedDay, ring.leaksOn), c, random);
  const confirmed = confirmedOn(looks);
  const day = Math.min(plannedDay, ring.leaksOn, confirmed);
  const failed = day > ring.failsOn;
  const found = random.chance(failed ? c.looks.outBadWhenFailed : c.looks.outBadWhenSound) ? 'bad' : 'sound';
  const end: RingEnd = day === ring.leaksOn ? { kind: 'leaked', day } : { kind: 'changed', day, found };
  return { pace: 1, start: { kind: 'new' }, looks: looks.filter((look) => look.day <= day), end };
};

/** The same ring seen only up to today; undefined if it is out by then. */
export const watchUntil = (ring: TrueRing, today: number, c: SealConstants, random: Random): RingRecord | undefined => {
  if (ring.leaksOn <= today) return undefined;
  const looks = looksUntil(ring, today, c, random);
  if (confirmedOn(looks) <= today) return undefined;
  return { pace: 1, start: { kind: 'new' }, looks, end: { kind: 'in-service', day: today } };
};

export type TrueGroup = { readonly median: number; readonly record: GroupRecord; readonly current?: TrueRing; readonly today: number };

const PLANNED_DAY = 182;

const drawGroup = (fleet: Fleet, cafe: number, earlier: number, c: SealConstants, random: Random): TrueGroup => {
  const median = Math.exp(cafe + fleet.groupSpread * random.normal());
  const finished = Array.from({ length: earlier }, () => watch(drawRing(fleet, median, c, random), PLANNED_DAY, c, random));
  const current = drawRing(fleet, median, c, random);
  const today = random.between(0, 150);
  const seen = watchUntil(current, today, c, random);
  return { median, today, record: { pace: 1, finished, ...(seen === undefined ? {} : { current: seen }) }, ...(seen === undefined ? {} : { current }) };
};

/** Cafés of two groups, each with this many earlier seals and, if it is still in, one in service. */
export const drawCafes = (fleet: Fleet, cafes: number, earlier: number, c: SealConstants, random: Random): readonly (readonly TrueGroup[])[] =>
  Array.from({ length: cafes }, () => {
    const cafe = fleet.centre + fleet.cafeSpread * random.normal();
    return [0, 1].map(() => drawGroup(fleet, cafe, earlier, c, random));
  });

/** A ring met in service: the café joins at a moment that has nothing to do with it, and watches for a while. */
export type MetRing = { readonly record: RingRecord; readonly daysLeft: number };

/** A group's rings run for four years, changed at half a year at the latest; then the café joins and watches until today. */
export const drawMet = (fleet: Fleet, ageKnown: boolean, c: SealConstants, random: Random): MetRing | undefined => {
  const median = Math.exp(fleet.centre + Math.hypot(fleet.cafeSpread, fleet.groupSpread) * random.normal());
  const joins = 1500 + random.between(0, 365);
  let fitted = 0;
  let ring = drawRing(fleet, median, c, random);
  while (fitted + Math.min(ring.leaksOn, PLANNED_DAY) <= joins) {
    fitted += Math.min(ring.leaksOn, PLANNED_DAY);
    ring = drawRing(fleet, median, c, random);
  }
  const age = joins - fitted;
  // On the first day somebody looks with care: a ring that has failed is not taken over.
  if (ring.failsOn <= age) return undefined;
  const today = random.between(0, 60);
  const since: TrueRing = { failsOn: ring.failsOn - age, leaksOn: ring.leaksOn - age };
  const seen = watchUntil(since, today, c, random);
  if (seen === undefined || since.failsOn <= today) return undefined;
  const start: RingRecord['start'] = ageKnown ? { kind: 'met', ageDays: age } : { kind: 'met-age-not-known' };
  return { record: { ...seen, start }, daysLeft: since.failsOn - today };
};
