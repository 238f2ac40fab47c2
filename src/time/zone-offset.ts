import { IANAZone } from 'luxon';

/** One stretch of constant distance from UTC: from `since` on, local = UTC + `offset`. */
type Step = { readonly since: number; readonly offset: number };

const DAY = 86_400_000;
// A block is one entry of the memory; within it a look a day finds every clock change, because
// no zone has changed its clocks twice within a day since 1970.
const BLOCK = 32 * DAY;
const MOST_BLOCKS = 20_000;

const zones = new Map<string, IANAZone>();
const blocks = new Map<string, Map<number, readonly Step[]>>();
let blockCount = 0;

export const isZone = (name: string): boolean => IANAZone.isValidZone(name);

const zoneOf = (name: string): IANAZone => {
  const known = zones.get(name);
  if (known !== undefined) return known;
  if (!isZone(name)) throw new RangeError(`not a time zone: ${name}`);
  const zone = IANAZone.create(name);
  zones.set(name, zone);
  return zone;
};

const lookUp = (zone: IANAZone, at: number): number => Math.round(zone.offset(at) * 60_000);

/** The first millisecond in (from, to] that has the offset of `to`. */
const changeBetween = (zone: IANAZone, from: number, to: number): number => {
  const before = lookUp(zone, from);
  let low = from;
  let high = to;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (lookUp(zone, middle) === before) low = middle;
    else high = middle;
  }
  return high;
};

const stepsFrom = (zone: IANAZone, start: number): readonly Step[] => {
  const steps: Step[] = [{ since: start, offset: lookUp(zone, start) }];
  for (let at = start + DAY; at <= start + BLOCK; at += DAY) {
    const offset = lookUp(zone, at);
    if (offset === steps[steps.length - 1]?.offset) continue;
    steps.push({ since: changeBetween(zone, at - DAY, at), offset });
  }
  return steps;
};

const blockOf = (name: string, index: number): readonly Step[] => {
  let ofZone = blocks.get(name);
  if (ofZone === undefined) blocks.set(name, (ofZone = new Map()));
  const known = ofZone.get(index);
  if (known !== undefined) return known;
  const steps = stepsFrom(zoneOf(name), index * BLOCK);
  if (blockCount >= MOST_BLOCKS) {
    blocks.clear();
    blockCount = 0;
    blocks.set(name, (ofZone = new Map()));
  }
  ofZone.set(index, steps);
  blockCount += 1;
  return steps;
};

/**
 * How far the wall clock of a zone is ahead of UTC, in milliseconds, at a moment since 1970.
 * Remembers what it looked up: luxon asks the platform's date formatter each time, which is
 * some fifty times slower.
 * @throws RangeError if `zone` is no IANA zone.
 */
export const offsetAt = (zone: string, at: number): number => {
  const steps = blockOf(zone, Math.floor(at / BLOCK));
  for (let i = steps.length - 1; i > 0; i -= 1) {
    const step = steps[i];
    if (step !== undefined && step.since <= at) return step.offset;
  }
  return steps[0]?.offset ?? 0;
};

/** When the clocks of a zone last changed in the two days before `at`, or null if they did not. */
export const clockChangeBefore = (zone: string, at: number): number | null => {
  const from = at - 2 * DAY;
  return offsetAt(zone, from) === offsetAt(zone, at) ? null : changeBetween(zoneOf(zone), from, at);
};
