import type { Cause, Money, Reach, Situation, TradeHour } from './model.ts';
import type { Level } from './programme.ts';

/**
 * What the engine reckons with where a café has set nothing: round relative sizes, all assumed. Only their proportions
 * matter for a verdict; they must never be shown as money.
 */
export const ASSUMED_MONEY: Required<Money> = {
  callFee: 120,
  outOfHoursExtra: 60,
  otherTradeFee: 100,
  cancelFee: 20,
  staffAnHour: 15,
  margin: 2.5,
};

/** Without these three no amount is the café's own. */
const NEEDED = ['callFee', 'staffAnHour', 'margin'] as const;
export type NeededMoney = (typeof NEEDED)[number];

export const missingMoney = (money: Money): readonly NeededMoney[] => NEEDED.filter((item) => money[item] === undefined);

export const reckonedMoney = (money: Money): Required<Money> => ({ ...ASSUMED_MONEY, ...money });

const overlap = (hour: TradeHour, from: number, to: number): number =>
  Math.max(0, Math.min(to, hour.startsIn + hour.minutes) - Math.max(from, hour.startsIn)) / 60;

const overTrade = (trade: readonly TradeHour[], from: number, to: number, anHour: (hour: TradeHour) => number): number =>
  trade.reduce((sum, hour) => sum + overlap(hour, from, to) * anHour(hour), 0);

/** Coffees that cannot be made between two moments when only so many an hour can be. */
export const lostCoffees = (trade: readonly TradeHour[], from: number, to: number, anHour: number): number =>
  overTrade(trade, from, to, ({ coffeesAnHour }) => Math.max(0, coffeesAnHour - anHour));

/** Hours of opening between two moments. */
export const openHours = (trade: readonly TradeHour[], from: number, to: number): number =>
  overTrade(trade, from, to, ({ coffeesAnHour }) => (coffeesAnHour > 0 ? 1 : 0));

/** What trade loses between two moments, in money: all of it, or what one group less cannot serve. */
export type Loss = { readonly all: number; readonly group: number; readonly hours: number };

export const lossBetween = (situation: Situation, from: number, to: number): Loss => {
  const { trade, groups, capacity } = situation;
  const { margin } = reckonedMoney(situation.money);
  return {
    all: margin * lostCoffees(trade, from, to, 0),
    group: margin * lostCoffees(trade, from, to, (groups - 1) * capacity),
    hours: margin * openHours(trade, from, to),
  };
};

const lossOf = (loss: Loss, reach: Reach): number => (reach === 'group' ? loss.group : loss.all);

/**
 * What waiting costs under a cause, by level of caution. Left in use, the cause takes its share and wastes drinks; with
 * the group out, all that group would have made beyond what the others can; a cause of the whole machine goes on.
 */
export const waitingCost = (cause: Cause, loss: Loss, level: Level): number => {
  if (level >= 2) return loss.all;
  const inUse = cause.severity * lossOf(loss, cause.reach) + cause.waste * loss.hours;
  if (level === 0) return Math.min(inUse, loss.all);
  return cause.reach === 'group' ? loss.group : Math.min(loss.all, loss.group + inUse);
};
