import type { ChangeDate } from './change-date.ts';
import type { HandlePosition } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import type { RingLook } from './ring-evidence.ts';

/** What a person saw of one group in the weekly look. */
export type GroupLook = {
  readonly handle: HandlePosition | 'not-read';
  readonly feel: 'soft' | 'hard' | 'cracked' | 'not-felt';
  readonly finger: 'clean' | 'black' | 'not-felt';
};

/** What there is to judge the look by; chances and dates already include it. */
export type GroupState = {
  readonly look: GroupLook;
  /** Left out where nobody knows. */
  readonly ringAgeDays?: number;
  /** The last reading of this ring in the same state of the machine. */
  readonly before?: HandlePosition;
  readonly neededMm?: number;
  readonly daysSinceFelt: number;
  readonly wornAlready: number;
  /** Chance that seal or handle end it before the next look. */
  readonly endsBeforeNextLook: number;
  readonly change: ChangeDate;
};

/** How far each reason goes by itself, mildest first. */
export const severities = ['keep', 'look-again', 'order', 'change-now', 'book', 'out-of-use'] as const;
export type Severity = (typeof severities)[number];

type Said =
  | { readonly kind: 'crumbling' | 'cracked' | 'looks-bad' | 'hard' | 'black-but-soft' | 'not-felt' }
  | { readonly kind: 'too-thick' | 'left-of-limit' | 'too-thin' | 'crept-right' | 'against-stop'; readonly degrees: number }
  | { readonly kind: 'handle-jumped'; readonly fromDegrees: number; readonly toDegrees: number }
  | { readonly kind: 'lugs-worn'; readonly neededMm: number }
  | { readonly kind: 'likely-to-end'; readonly chance: number }
  | { readonly kind: 'change-due'; readonly inDays: number; readonly failsBefore: number; readonly why: ChangeDate['why'] };

export type LookReason = Said & { readonly calls: Severity };

/** The look as evidence of the seal's life; undefined where it says nothing sure. The handle is not part of it. */
export const sealRead = (look: GroupLook): RingLook['read'] | undefined => {
  if (look.feel === 'cracked') return 'bad';
  if (look.feel === 'hard' && look.finger === 'black') return 'bad';
  if (look.feel === 'not-felt' || look.finger === 'black') return undefined;
  return 'sound';
};

const degreesOf = (at: HandlePosition, handle: SealConstants['handle']): number =>
  at.kind === 'stop' ? handle.stopDegrees : at.degrees;

const isYoung = (state: GroupState, constants: SealConstants): boolean =>
  state.ringAgeDays !== undefined && state.ringAgeDays <= constants.height.lateAfterDays;

const sealReasons = ({ look, wornAlready, daysSinceFelt }: GroupState, c: SealConstants): readonly LookReason[] => {
  const { feel, finger } = look;
  if (feel === 'cracked') {
    return finger === 'black' ? [{ kind: 'crumbling', calls: 'out-of-use' }] : [{ kind: 'cracked', calls: 'change-now' }];
  }
  if (sealRead(look) === 'bad') return [{ kind: 'looks-bad', calls: wornAlready >= c.change.nowChance ? 'change-now' : 'look-again' }];
  if (finger === 'black') return [{ kind: 'black-but-soft', calls: 'look-again' }];
  if (feel === 'hard') return [{ kind: 'hard', calls: 'keep' }];
  if (feel === 'not-felt') return [{ kind: 'not-felt', calls: daysSinceFelt >= 2 * c.change.lookEveryDays ? 'look-again' : 'keep' }];
  return [];
};

const farRight = (degrees: number, young: boolean, at: HandlePosition, c: SealConstants): readonly LookReason[] => {
  if (degrees < c.handle.orderDegrees) return [];
  const calls = degrees >= c.handle.changeNowDegrees || at.kind === 'stop' ? 'change-now' : 'order';
  if (young) return [{ kind: 'too-thin', degrees, calls }];
  return [{ kind: at.kind === 'stop' ? 'against-stop' : 'crept-right', degrees, calls }];
};

const jumped = (degrees: number, before: HandlePosition | undefined, c: SealConstants): readonly LookReason[] => {
  if (before === undefined) return [];
  const fromDegrees = degreesOf(before, c.handle);
  if (Math.abs(degrees - fromDegrees) <= c.handle.jumpDegrees) return [];
  return [{ kind: 'handle-jumped', fromDegrees, toDegrees: degrees, calls: 'look-again' }];
};

const handleReasons = (state: GroupState, c: SealConstants): readonly LookReason[] => {
  const at = state.look.handle;
  if (at === 'not-read') return [];
  const degrees = degreesOf(at, c.handle);
  const young = isYoung(state, c);
  if (degrees <= c.handle.outOfUseDegrees) return [{ kind: young ? 'too-thick' : 'left-of-limit', degrees, calls: 'out-of-use' }];
  const right = farRight(degrees, young, at, c);
  const { neededMm } = state;
  const lugs: readonly LookReason[] =
    young && right.length > 0 && neededMm !== undefined && neededMm > c.height.thickestMm ? [{ kind: 'lugs-worn', neededMm, calls: 'book' }] : [];
  return [...lugs, ...right, ...jumped(degrees, state.before, c)];
};

const forecastReasons = ({ endsBeforeNextLook, change }: GroupState, c: SealConstants): readonly LookReason[] => {
  const likely: readonly LookReason[] =
    endsBeforeNextLook >= c.change.nowChance ? [{ kind: 'likely-to-end', chance: endsBeforeNextLook, calls: 'change-now' }] : [];
  if (change.inDays >= c.change.deliveryDays + c.change.lookEveryDays) return likely;
  const calls = change.inDays < c.change.lookEveryDays ? 'change-now' : 'order';
  return [...likely, { kind: 'change-due', inDays: change.inDays, failsBefore: change.failsBefore, why: change.why, calls }];
};

const gravest = (a: LookReason, b: LookReason): number => severities.indexOf(b.calls) - severities.indexOf(a.calls);

/** Everything the look and the forecasts say, the gravest first. */
export const lookReasons = (state: GroupState, constants: SealConstants): readonly LookReason[] =>
  [...sealReasons(state, constants), ...handleReasons(state, constants), ...forecastReasons(state, constants)].toSorted(gravest);
