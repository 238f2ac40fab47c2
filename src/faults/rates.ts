import type { CompiledJob } from './compiled.ts';
import type { Cause, Money, Situation } from './model.ts';
import type { Level, OutcomeKind } from './programme.ts';
import type { Loss } from './waiting.ts';
import { lossBetween, reckonedMoney, waitingCost } from './waiting.ts';

/** Minutes until someone notices that "nothing wrong" was wrong and calls (assumed: a day). */
export const NOTICED_AFTER = 1440;

/**
 * Call fees that a wrong "nothing wrong" costs beside the call that follows (assumed). Below about one, putting off a
 * call that waits for free would look like a finding; at one, all is well only where that is likelier than not.
 */
export const WRONG_ALL_CLEAR = 1;

/** Losses of one café; the same stretches of time come up for every cause, so each is reckoned once. */
const losses = (situation: Situation): Rates['loss'] => {
  const known = new Map<number, Loss>();
  return (from, to) => {
    const key = from * 1e6 + to;
    const loss = known.get(key) ?? lossBetween(situation, from, to);
    known.set(key, loss);
    return loss;
  };
};

const callFee = (money: Required<Money>, situation: Situation): number =>
  money.callFee + (situation.outOfHours ? money.outOfHoursExtra : 0);

/** What a case's costs are reckoned from. */
export type Rates = {
  readonly situation: Situation;
  readonly money: Required<Money>;
  /** What the call costs now. */
  readonly call: number;
  /** What trade loses between two minutes from now. */
  readonly loss: (from: number, to: number) => Loss;
  /** What waiting costs in that time under a cause. */
  readonly wait: (from: number, to: number, cause: Cause, level: Level) => number;
};

export const ratesOf = (situation: Situation): Rates => {
  const money = reckonedMoney(situation.money);
  const loss = losses(situation);
  return {
    situation,
    money,
    call: callFee(money, situation),
    loss,
    wait: (from, to, cause, level) => waitingCost(cause, loss(from, to), level),
  };
};

/** Cost of ending in one way at a moment: the fees until the right person has been, and the waiting until then. */
export const endCost = (kind: OutcomeKind, cause: Cause, from: number, level: Level, rates: Rates): number => {
  const { money, call, wait } = rates;
  const other = money.otherTradeFee;
  const { technicianIn, otherTradeIn } = rates.situation;
  const both = from + technicianIn + otherTradeIn;
  const nothing = cause.fixer === 'nobody';
  const elsewhere = cause.fixer === 'other-trade';
  switch (kind) {
    case 'book':
      if (elsewhere) return call + other + wait(from, both, cause, level);
      return call + wait(from, from + technicianIn, cause, level);
    case 'other-trade':
      if (elsewhere || nothing) return other + wait(from, from + otherTradeIn, cause, level);
      return call + other + wait(from, both, cause, level);
    case 'nothing-wrong': {
      if (nothing) return 0;
      const later = from + NOTICED_AFTER;
      const before = WRONG_ALL_CLEAR * call + wait(from, later, cause, level);
      return before + endCost('book', cause, later, level, rates);
    }
  }
};

/** Staff time, parts and what cannot serve meanwhile; a cold job is done while nothing would serve anyway. */
export const jobCost = ({ job }: CompiledJob, { money, loss }: Rates): number => {
  const lost = loss(0, job.machine === 'cold' ? 0 : job.down.minutes);
  const down = job.down.reach === 'group' ? lost.group : lost.all;
  return (job.minutes / 60) * money.staffAnHour + job.parts + down;
};
