import { momentOnDay } from '../cafe/hours-moments.ts';
import { isOpenAt, type CafeHours } from '../cafe/hours.ts';
import { coolingLeft, type Figures } from '../seals/card-fit.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import type { ColdSlot, Money, Situation } from './model.ts';
import { tradeHours } from './trade-hours.ts';

/** Drinks an hour one group makes. Assumed, common practice, no source. */
export const GROUP_CAPACITY = 45;
/** Drinks a day where the café has not said. Assumed. */
const USUAL_DRINKS_DAY = 200;
/** A technician comes the next working day unless the café says otherwise. Assumed. */
const USUAL_TECHNICIAN_MINUTES = 24 * 60;
const USUAL_OTHER_TRADE_MINUTES = 8 * 60;
/** Minutes a cold machine may be worked on before it has to heat up. Assumed. */
const COLD_WORK_MINUTES = 60;
const DAYS_AHEAD = 3;
/** Cold work and heating up again, before the door opens. */
const BEFORE_OPENING_MINUTES = COLD_WORK_MINUTES + 45;

/** What the café has told of its trade; amounts in its own money. */
export type Trade = { readonly [figure in 'drinksDay' | 'drinksHour' | 'callOut' | 'outOfHoursExtra' | 'cancelFee' | 'staffHour' | 'margin']?: number | undefined };

export type BarNow = {
  readonly groups: number;
  readonly hours: CafeHours | null;
  readonly trade: Trade;
  /** Off and cold since the last closing. */
  readonly cold: boolean;
  readonly trained: boolean;
  readonly barred: readonly string[];
  /** What is usual between asking and coming; undefined: not known. */
  readonly technicianMinutes?: number | undefined;
};

const minutesUntil = (now: Instant, at: Instant): number => (at - now) / 60_000;

/** When the machine may be opened: before the coming openings, or now when it is cold and nothing opens soon. */
const coldSlots = (hours: CafeHours | null, cold: boolean, now: Instant): readonly ColdSlot[] => {
  if (!hours) return cold ? [{ startsIn: 0, minutes: COLD_WORK_MINUTES }] : [];
  const { day } = dayAt(now, hours.zone);
  const starts = Array.from({ length: DAYS_AHEAD }, (_, ahead) => momentOnDay(hours, day + ahead, { kind: 'before-opening', minutes: BEFORE_OPENING_MINUTES })).filter((at) => at !== null && at > now) as readonly Instant[];
  const slots = starts.map((at) => ({ startsIn: minutesUntil(now, at), minutes: COLD_WORK_MINUTES }));
  return cold && !isOpenAt(hours, later(now, minutes(BEFORE_OPENING_MINUTES))) ? [{ startsIn: 0, minutes: COLD_WORK_MINUTES }, ...slots] : slots;
};

/** Off and cold for sure: it is off at night, has cooled since the last closing, and nobody heats it up yet. */
export const isCold = (hours: CafeHours | null, figures: Figures, now: Instant): boolean =>
  hours !== null && figures.offAtNight === 'yes' && !isOpenAt(hours, now) && !isOpenAt(hours, later(now, minutes(BEFORE_OPENING_MINUTES))) && coolingLeft(hours, now, figures) === 0;

const moneyOf = ({ callOut, outOfHoursExtra, cancelFee, staffHour, margin }: Trade): Money => ({
  ...(callOut === undefined ? {} : { callFee: callOut }),
  ...(outOfHoursExtra === undefined ? {} : { outOfHoursExtra }),
  ...(cancelFee === undefined ? {} : { cancelFee }),
  ...(staffHour === undefined ? {} : { staffAnHour: staffHour }),
  ...(margin === undefined ? {} : { margin }),
});

/** The café at this moment, as the reckoning needs it. */
export const situationOf = (bar: BarNow, now: Instant): Situation => ({
  groups: bar.groups,
  capacity: GROUP_CAPACITY,
  trade: bar.hours ? tradeHours(bar.hours, { drinksDay: bar.trade.drinksDay ?? USUAL_DRINKS_DAY, drinksHour: bar.trade.drinksHour }, now) : [],
  machine: bar.cold ? 'cold' : 'hot',
  coldSlots: coldSlots(bar.hours, bar.cold, now),
  technicianIn: bar.technicianMinutes ?? USUAL_TECHNICIAN_MINUTES,
  otherTradeIn: USUAL_OTHER_TRADE_MINUTES,
  outOfHours: bar.hours ? !isOpenAt(bar.hours, now) : false,
  money: moneyOf(bar.trade),
  trained: bar.trained,
  barredJobs: bar.barred,
});
