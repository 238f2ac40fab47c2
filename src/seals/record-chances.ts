import type { SealConstants } from './constants.ts';
import { assumedPrior, forecastLives } from './life.ts';
import { ringOf } from './record-evidence.ts';
import type { GroupNow } from './record-reckon.ts';

/** How the record moves a cause of a fault: its chance now against what is usual for a seal of which only its age is known. */
export type CauseChance = { readonly cause: string; readonly now: number; readonly usual: number };

const kept = (chance: number): number => Math.min(0.99, Math.max(0.01, chance));

/**
 * What looks say of a worn seal; nothing where nobody felt it. The age alone moves nothing here: the questions ask for
 * it, and a fact must not count twice.
 */
export const causeChances = ({ history, forecast, pace }: Pick<GroupNow, 'history' | 'forecast' | 'pace'>, constants: SealConstants, now: number): readonly CauseChance[] => {
  const seal = history.seals.findLast(({ outAt }) => outAt === null);
  if (!seal || ringOf(seal, history.readings, pace, now).looks.length === 0) return [];
  const day = (now - (seal.fittedAt ?? seal.metAt)) / 86_400_000;
  const current = { pace, start: seal.fittedAt === null ? ({ kind: 'met-age-not-known' } as const) : ({ kind: 'new' } as const), looks: [], end: { kind: 'in-service', day } as const };
  const blind = forecastLives([{ finished: [], current, pace }], assumedPrior(constants.life), constants)[0]?.inService;
  return blind ? [{ cause: 'seal-worn', now: kept(forecast.wornAlready), usual: kept(blind.wornAlready) }] : [];
};

/** Answers the record gives to questions about faults, so that nobody is asked again; `at`: read or fitted, epoch ms. */
export type KnownAnswer = { readonly question: string; readonly answer: string; readonly at: number };

/** As the answers of the question say: under 2 weeks, up to 6 months, over 6 months. */
const NEW_DAYS = 14;
const OLD_DAYS = 182;
const FRESH_DAYS = 7;

/** A seal's age in days, as the answers say it. */
export const sealAge = (days: number): 'new' | 'months' | 'old' => (days < NEW_DAYS ? 'new' : days < OLD_DAYS ? 'months' : 'old');

const positionOf = (value: string): string => {
  if (value === 'stop') return 'far-right';
  const degrees = Number(value);
  if (degrees <= -30) return 'far-left';
  return degrees >= 45 ? 'far-right' : degrees >= 15 ? 'right' : 'straight';
};

/** Age of the seal where it is known, and the handle where it was read within a week. What was felt counts in `causeChances`. */
export const knownAnswers = ({ history }: Pick<GroupNow, 'history'>, now: number): readonly KnownAnswer[] => {
  const seal = history.seals.findLast(({ outAt }) => outAt === null);
  const age = seal?.fittedAt === undefined || seal.fittedAt === null ? undefined : (now - seal.fittedAt) / 86_400_000;
  const handle = history.readings.findLast(({ what, at }) => what === 'handle' && (now - at) / 86_400_000 <= FRESH_DAYS && at >= (seal?.fittedAt ?? seal?.metAt ?? 0));
  return [
    ...(age === undefined ? [] : [{ question: 'seal-age', answer: sealAge(age), at: seal?.fittedAt ?? now }]),
    ...(handle ? [{ question: 'handle-position', answer: positionOf(handle.value), at: handle.at }] : []),
  ];
};

/** What a look says of a fault: the complaint it would become, what is known of it, and whether the group is out. */
export type LookFound = { readonly like: string; readonly answers: readonly KnownAnswer[]; readonly out: boolean };

/** A handle so far left is not fully in: it would slip or come out. Everything else would end as water at the rim. */
const TOO_FAR_LEFT: readonly string[] = ['too-thick', 'left-of-limit'];

export const lookFound = (found: Pick<GroupNow, 'history'> | undefined, verdict: { readonly kind: string; readonly reasons: readonly { readonly kind: string }[] }, now: number): LookFound => ({
  like: verdict.reasons.some(({ kind }) => TOO_FAR_LEFT.includes(kind)) ? 'handle-slips' : 'leak-at-rim',
  answers: found ? knownAnswers(found, now) : [],
  out: verdict.kind === 'out-of-use',
});
