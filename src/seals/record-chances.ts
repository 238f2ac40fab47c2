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

/** Answers the record gives to questions about faults, so that nobody is asked again. */
export type KnownAnswer = { readonly question: string; readonly answer: string };

const NEW_DAYS = 28;
/** From here on a rubber seal counts as old; three to six months are usual, common practice, no source. */
const OLD_DAYS = 150;
const FRESH_DAYS = 7;

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
    ...(age === undefined ? [] : [{ question: 'seal-age', answer: age <= NEW_DAYS ? 'new' : age < OLD_DAYS ? 'months' : 'old' }]),
    ...(handle ? [{ question: 'handle-position', answer: positionOf(handle.value) }] : []),
  ];
};
