import { kitFor, splitBySize } from '../../src/bookings/kit.ts';
import { sealPart } from '../../src/parts/seal-part.ts';
import { toQuarterHour } from '../../src/seals/clock-hour.ts';
import type { SealConstants } from '../../src/seals/constants.ts';
import type { FittedSeal, GroupHistory, Reading } from '../../src/seals/record-evidence.ts';
import { nextSize, nextStack } from '../../src/seals/record-forecast.ts';
import { sizeChances, type SizeChance } from '../../src/seals/size-chances.ts';
import { days } from '../../src/time/instant.ts';
import { drawFound, drawGroup, drawRing, trueAngle, type TrueGroup, type TrueRing } from '../seals/fit-simulation.ts';
import type { Random } from '../seals/random.ts';

const SIZES_MM = [5.5, 6, 6.5, 7, 7.5, 8, 8.5, 9];
/** People choose between handles drawn half an hour apart. */
const DRAWN_STEP_DEGREES = 15;
const SERVES_DAYS = 120;
const WELL_TO_DEGREES = 15;

/** A visit that wants a seal: what the record gives each size, and which size it takes. */
export type SealVisit = { readonly chances: readonly SizeChance[]; readonly neededMm: number; readonly inside: number; readonly newReadings: number };

const newAngle = (group: TrueGroup, sizeMm: number, { handle }: SealConstants): number => handle.targetDegrees + (360 / group.leadMm) * (group.heightMm - sizeMm);

/** Whoever knows height and lead keeps the size that stands well, else takes the nearest to the target that is not left of the limit. */
export const sizeNeeded = (group: TrueGroup, insideMm: number, c: SealConstants): number => {
  const { leftLimitDegrees, targetDegrees } = c.handle;
  const own = newAngle(group, insideMm, c);
  if (own > leftLimitDegrees && own <= WELL_TO_DEGREES) return insideMm;
  const off = (size: number): number => Math.abs(newAngle(group, size, c) - targetDegrees);
  return SIZES_MM.filter((size) => newAngle(group, size, c) >= leftLimitDegrees).toSorted((a, b) => off(a) - off(b))[0] ?? (SIZES_MM[0] as number);
};

const readAt = (group: TrueGroup, ring: TrueRing, fitted: number, ageDays: number, c: SealConstants, random: Random): Reading => {
  const degrees = toQuarterHour(trueAngle(group, ring, ageDays, c) + c.handle.readingErrorDegrees * random.normal(), DRAWN_STEP_DEGREES);
  return { what: 'handle', value: degrees >= c.handle.stopDegrees ? 'stop' : String(degrees), state: 'cold', at: fitted + ageDays * days(1), look: null };
};

/** A group's record from the ring it was met with, through so many changes; each ring read never, once or twice when new, half of them when old. */
export const drawVisit = (changes: number, c: SealConstants, random: Random): SealVisit => {
  const group = drawGroup(c, random);
  const seals: FittedSeal[] = [];
  const readings: Reading[] = [];
  let size = Math.min(9, Math.max(5.5, drawFound(group, c, random)));
  let newReadings = 0;
  for (let i = 0; ; i += 1) {
    const fitted = i * days(SERVES_DAYS);
    const ring = drawRing(size, c, random);
    const looks = i === 0 ? 0 : Math.floor(random.between(0, 3));
    newReadings += looks;
    for (let look = 0; look < looks; look += 1) readings.push(readAt(group, ring, fitted, 3 + 6 * look, c, random));
    if (random.chance(0.5)) readings.push(readAt(group, ring, fitted, 100, c, random));
    seals.push({ fittedAt: i === 0 ? null : fitted, metAt: fitted, outAt: null, sizeMm: size, shimMm: null, material: 'rubber', whyOut: null, cameOut: null });
    const history: GroupHistory = { seals: seals.map((seal, at) => (at === seals.length - 1 ? seal : { ...seal, outAt: (at + 1) * days(SERVES_DAYS), whyOut: 'planned', cameOut: 'sound' })), readings };
    const now = fitted + days(SERVES_DAYS) - 1;
    if (i === changes) return { chances: sizeChances(history, [], c, now), neededMm: sizeNeeded(group, size, c), inside: size, newReadings };
    size = nextStack(history, nextSize(history, [], c, now), c, now)?.sealMm ?? size;
  }
};

export const drawVisits = (count: number, c: SealConstants, random: Random): readonly SealVisit[] => Array.from({ length: count }, (_, i) => drawVisit(i % 4, c, random));

export type Bin = { readonly from: number; readonly to: number; readonly count: number; readonly predicted: number; readonly needed: number };

/** Every size of every visit by the chance it was given: mean chance beside the share that was needed. */
export const calibration = (visits: readonly SealVisit[], edges: readonly number[]): readonly Bin[] => {
  const all = visits.flatMap(({ chances, neededMm }) => chances.map(({ sizeMm, chance }) => ({ chance, needed: sizeMm === neededMm })));
  return edges.slice(1).map((to, i): Bin => {
    const from = edges[i] as number;
    const inside = all.filter(({ chance }) => chance > from && chance <= to);
    const count = inside.length;
    return { from, to, count, predicted: inside.reduce((sum, { chance }) => sum + chance, 0) / count, needed: inside.filter(({ needed }) => needed).length / count };
  });
};

export type Carried = { readonly promised: number; readonly finished: number; readonly pieces: number };

/** Seals alone, one visit a tour: the kit's promise beside the share finished at once, and how many sizes it carries. */
export const sealKits = (visits: readonly SealVisit[], level: number): Carried => {
  const values = new Map(SIZES_MM.map((size) => [sealPart(size), 4] as const));
  const sums = { promised: 0, finished: 0, pieces: 0 };
  for (const { chances, neededMm } of visits) {
    const kit = kitFor({ visits: [{ id: 'v', outcomes: splitBySize(1, chances.map(({ sizeMm, chance }) => ({ part: sealPart(sizeMm), chance }))) }], values, van: new Map(), level });
    sums.promised += kit.visits[0]?.chance ?? 0;
    sums.finished += kit.bring.some(({ part }) => part === sealPart(neededMm)) ? 1 : 0;
    sums.pieces += kit.bring.reduce((sum, { count }) => sum + count, 0);
  }
  const count = visits.length;
  return { promised: sums.promised / count, finished: sums.finished / count, pieces: sums.pieces / count };
};
