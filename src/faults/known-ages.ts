import type { KnownAnswer } from './ask-known.ts';

/** When something was last done at a machine or group, epoch ms; null where the record does not say. */
export type LastTimes = {
  readonly backflush: number | null;
  readonly screens: number | null;
  readonly filter: number | null;
  /** The filter is over its litres or its year, by the routine's own date. */
  readonly filterOver: boolean;
  readonly visit: number | null;
};

const DAY = 86_400_000;

/** The answer of the first limit (in days) that an age does not pass; nothing beyond the last, where it is better asked. */
type Limit = readonly [days: number, answer: string];

/**
 * As the answers say: this week, this month; a filter's "last days"; a technician's "last weeks". Beyond the last limit
 * the record is likelier to have stopped than the work, so it is asked. Judgement, no source.
 */
const LIMITS = {
  'backflush-age': [[7, 'week'], [60, 'longer']],
  'screen-cleaned': [[7, 'week'], [31, 'month'], [120, 'longer']],
  'filter-age': [[5, 'days'], [Infinity, 'in-date']],
  'service-age': [[42, 'recent'], [365, 'year'], [Infinity, 'longer']],
} as const satisfies Readonly<Record<string, readonly Limit[]>>;

const aged = (question: keyof typeof LIMITS, at: number | null, now: number): readonly KnownAnswer[] => {
  if (at === null) return [];
  const limits: readonly Limit[] = LIMITS[question];
  const found = limits.find(([days]) => (now - at) / DAY <= days);
  return found ? [{ question, answer: found[1], at }] : [];
};

/** What need not be asked, since the routine and the visits say it. */
export const ageAnswers = ({ backflush, screens, filter, filterOver, visit }: LastTimes, now: number): readonly KnownAnswer[] => [
  ...aged('backflush-age', backflush, now),
  ...aged('screen-cleaned', screens, now),
  ...aged('filter-age', filter, now).map((known) => (filterOver ? { ...known, answer: 'over' } : known)),
  ...aged('service-age', visit, now),
];
