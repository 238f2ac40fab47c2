import { days } from '../time/instant.ts';
import type { HandlePosition } from './clock-hour.ts';
import type { Closes } from './closing.ts';
import type { DriftReading } from './drift-belief.ts';
import type { FitRing, HandleReading } from './height.ts';
import { sealRead, type GroupLook } from './inspection-reasons.ts';
import type { GroupRecord } from './life.ts';
import type { RingEnd, RingLook, RingRecord } from './ring-evidence.ts';
import type { Material } from './wear.ts';

/** A seal as the record knows it; instants are epoch ms. */
export type FittedSeal = {
  readonly fittedAt: number | null;
  readonly metAt: number;
  readonly outAt: number | null;
  readonly sizeMm: number | null;
  readonly shimMm: number | null;
  readonly material: Material | null;
  readonly whyOut: string | null;
  readonly cameOut: string | null;
};

export type MachineState = 'cold' | 'hot';
export type Reading = { readonly what: string; readonly value: string; readonly state: MachineState; readonly at: number; readonly look: string | null };

/**
 * Everything that counts of one group, seals and readings oldest first; handles in the sense of closing, `closes` where it was
 * asked.
 */
export type GroupHistory = { readonly seals: readonly FittedSeal[]; readonly readings: readonly Reading[]; readonly closes?: Closes };

const DAY = days(1);

/**
 * A seal nobody told of may have failed before it was met; much longer ago it would have been leaking by then.
 * Assumed: twice the time a failed seal takes to leak.
 */
export const UNSEEN_DAYS = 28;

/** What a stored handle reading says: degrees right of straight, or against the stop. */
export const handleOf = (value: string): HandlePosition => (value === 'stop' ? { kind: 'stop' } : { kind: 'angle', degrees: Number(value) });
export const handleText = (at: HandlePosition): string => (at.kind === 'stop' ? 'stop' : String(at.degrees));

const startOf = (seal: FittedSeal): number => seal.fittedAt ?? seal.metAt;

/** What is read in the moment of a change is of the new one. */
const during = (seal: FittedSeal, readings: readonly Reading[], until: number): readonly Reading[] =>
  readings.filter(({ at }) => at >= startOf(seal) && (seal.outAt === null ? at <= until : at < seal.outAt));

const isFeel = (value: string): value is GroupLook['feel'] => value === 'soft' || value === 'hard' || value === 'cracked';
const isFinger = (value: string): value is GroupLook['finger'] => value === 'clean' || value === 'black';

/** The last of one kind read in one look. */
const lastOf = (readings: readonly Reading[], what: string): string | undefined => readings.findLast((reading) => reading.what === what)?.value;

/** A look put together from its readings; what was not read stands as that. */
export const lookOf = (readings: readonly Reading[]): GroupLook => {
  const handle = lastOf(readings, 'handle');
  const feel = lastOf(readings, 'feel') ?? '';
  const finger = lastOf(readings, 'finger') ?? '';
  return {
    handle: handle === undefined ? 'not-read' : handleOf(handle),
    feel: isFeel(feel) ? feel : 'not-felt',
    finger: isFinger(finger) ? finger : 'not-felt',
  };
};

const looksIn = (readings: readonly Reading[]): readonly { readonly at: number; readonly look: GroupLook }[] =>
  [...new Set(readings.flatMap(({ look }) => look ?? []))].map((id) => {
    const some = readings.filter(({ look }) => look === id);
    return { at: Math.max(...some.map(({ at }) => at)), look: lookOf(some) };
  });

const endOf = (seal: FittedSeal, readings: readonly Reading[], now: number): RingEnd => {
  const day = ((seal.outAt ?? now) - startOf(seal)) / DAY;
  const leak = readings.find(({ what }) => what === 'leak');
  if (leak || seal.whyOut === 'leaked') return { kind: 'leaked', day: leak ? (leak.at - startOf(seal)) / DAY : day };
  if (seal.outAt === null) return { kind: 'in-service', day };
  return { kind: 'changed', day, found: seal.cameOut === 'sound' || seal.cameOut === 'bad' ? seal.cameOut : 'not-looked' };
};

/** The life of one seal as the forecast takes it. */
export const ringOf = (seal: FittedSeal, all: readonly Reading[], pace: number, now: number): RingRecord => {
  const readings = during(seal, all, now);
  const looks = looksIn(readings).flatMap(({ at, look }): readonly RingLook[] => {
    const read = sealRead(look);
    return read === undefined ? [] : [{ day: (at - startOf(seal)) / DAY, read }];
  });
  return { pace, start: seal.fittedAt === null ? { kind: 'met-age-not-known' } : { kind: 'new' }, looks, end: endOf(seal, readings, now) };
};

export type PaceFor = (material: Material | null) => number;

/** A group with its finished seals and the one in it now; one met in service counts only while it is in. */
export const groupRecordOf = ({ seals, readings }: GroupHistory, paceFor: PaceFor, now: number): GroupRecord => {
  const current = seals.findLast(({ outAt }) => outAt === null);
  const finished = seals.filter(({ outAt }) => outAt !== null).map((seal) => ringOf(seal, readings, paceFor(seal.material), now));
  return { finished, ...(current ? { current: ringOf(current, readings, paceFor(current.material), now) } : {}), pace: paceFor(current?.material ?? null) };
};

/** The state of the machine most handles of this group were read in: readings of the other are left aside. */
export const stateReadIn = (readings: readonly Reading[]): MachineState => {
  const handles = readings.filter(({ what }) => what === 'handle');
  return handles.filter(({ state }) => state === 'hot').length * 2 > handles.length ? 'hot' : 'cold';
};

const handlesOf = (seal: FittedSeal, readings: readonly Reading[], state: MachineState, now: number): readonly HandleReading[] =>
  during(seal, readings, now)
    .filter((reading) => reading.what === 'handle' && reading.state === state)
    .map((reading) => ({ at: handleOf(reading.value), ...(seal.fittedAt === null ? {} : { ageDays: (reading.at - seal.fittedAt) / DAY }) }));

/** Seals whose size is known, with their readings, for the advice on the next size. */
export const fitRingsOf = ({ seals, readings }: GroupHistory, now: number): readonly FitRing[] => {
  const state = stateReadIn(readings);
  return seals.flatMap((seal): readonly FitRing[] =>
    seal.sizeMm === null ? [] : [{
      sealMm: seal.sizeMm, shimMm: seal.shimMm ?? 0, material: seal.material ?? 'rubber', found: seal.fittedAt === null,
      ...(seal.fittedAt === null ? {} : { fittedDaysAgo: (now - seal.fittedAt) / DAY }),
      readings: handlesOf(seal, readings, state, now),
    }]);
};

/** Handle readings of the seal in the group, in the state asked for, by its age (or by the days it is known). */
export const driftReadingsOf = ({ seals, readings }: GroupHistory, state: MachineState, now: number): readonly DriftReading[] => {
  const seal = seals.findLast(({ outAt }) => outAt === null);
  if (!seal) return [];
  return during(seal, readings, now)
    .filter((reading) => reading.what === 'handle' && reading.state === state)
    .map((reading) => ({ ageDays: (reading.at - startOf(seal)) / DAY, at: handleOf(reading.value) }));
};

/** Days since a look the seal passed, and since it was last felt; since it is known, if never. */
export const sinceOf = ({ seals, readings }: GroupHistory, now: number): { readonly passed: number; readonly felt: number; readonly age: number | undefined } => {
  const seal = seals.findLast(({ outAt }) => outAt === null);
  if (!seal) return { passed: 0, felt: 0, age: undefined };
  const looks = looksIn(during(seal, readings, now));
  const latest = (those: readonly { readonly at: number }[]): number => Math.max(startOf(seal), ...those.map(({ at }) => at));
  return {
    passed: (now - latest(looks.filter(({ look }) => sealRead(look) === 'sound'))) / DAY,
    felt: (now - latest(looks.filter(({ look }) => look.feel !== 'not-felt'))) / DAY,
    age: seal.fittedAt === null ? undefined : (now - seal.fittedAt) / DAY,
  };
};

/** The handle reading before the newest look, of this seal and in the same state. */
export const beforeOf = ({ seals, readings }: GroupHistory, look: string, state: MachineState, now: number): HandlePosition | undefined => {
  const seal = seals.findLast(({ outAt }) => outAt === null);
  const before = seal && during(seal, readings, now).findLast((reading) => reading.what === 'handle' && reading.state === state && reading.look !== look);
  return before && handleOf(before.value);
};
