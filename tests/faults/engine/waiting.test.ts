import { describe, expect, it } from 'vitest';
import { bench } from '../../../src/faults/bench.ts';
import type { Situation } from '../../../src/faults/model.ts';
import { endCost, jobCost, NOTICED_AFTER, ratesOf, WRONG_ALL_CLEAR } from '../../../src/faults/rates.ts';
import { ASSUMED_MONEY, lossBetween, lostCoffees, missingMoney, openHours, reckonedMoney, waitingCost } from '../../../src/faults/waiting.ts';
import { aCase, cause, job, model, situation, symptom } from './tiny.ts';

/** Two groups of 45 drinks an hour; 60 an hour from now for two hours, then 30 for three, margin 2. */
const cafe = (over: Partial<Situation> = {}): Situation =>
  situation({
    trade: [
      { startsIn: 0, minutes: 120, coffeesAnHour: 60 },
      { startsIn: 120, minutes: 180, coffeesAnHour: 30 },
    ],
    technicianIn: 240,
    otherTradeIn: 60,
    money: { callFee: 100, outOfHoursExtra: 40, otherTradeFee: 70, cancelFee: 10, staffAnHour: 12, margin: 2 },
    ...over,
  });

describe('trade lost, worked by hand', () => {
  it('is what the groups left cannot make: 15 of 60 an hour with one group of 45', () => {
    expect(lostCoffees(cafe().trade, 0, 120, 45)).toBe(30);
    expect(lostCoffees(cafe().trade, 60, 180, 45)).toBe(15);
    expect(lostCoffees(cafe().trade, 120, 300, 45)).toBe(0);
    expect(lostCoffees(cafe().trade, 0, 300, 0)).toBe(210);
  });

  it('is nothing before opening and after closing', () => {
    expect(lostCoffees(cafe().trade, 300, 1000, 0)).toBe(0);
    expect(openHours(cafe().trade, 60, 1000)).toBe(4);
  });

  it('costs its margin; with one group only, its loss is everything', () => {
    expect(lossBetween(cafe(), 0, 120)).toEqual({ all: 240, group: 60, hours: 4 });
    expect(lossBetween(cafe({ groups: 1 }), 0, 120)).toEqual({ all: 240, group: 240, hours: 4 });
  });
});

describe('waiting under a cause', () => {
  const loss = lossBetween(cafe(), 0, 120);
  const drip = cause('drip', { severity: 0.5, waste: 3 });
  const weak = cause('weak', { severity: 0.5, waste: 3, reach: 'machine' });

  it('in use: its share of what its group would lose, and the drinks it wastes', () => {
    expect(waitingCost(drip, loss, 0)).toBe(0.5 * 60 + 3 * 4);
    expect(waitingCost(weak, loss, 0)).toBe(0.5 * 240 + 3 * 4);
  });

  it('with the group out: all that group would have added, no waste; a cause of the machine goes on', () => {
    expect(waitingCost(drip, loss, 1)).toBe(60);
    expect(waitingCost(weak, loss, 1)).toBe(60 + 132);
  });

  it('with the machine off: all trade, and never more than that', () => {
    expect(waitingCost(drip, loss, 2)).toBe(240);
    expect(waitingCost(cause('flood', { severity: 1, waste: 500, reach: 'machine' }), loss, 0)).toBe(240);
  });
});

describe('ways to end, worked by hand', () => {
  const rates = ratesOf(cafe());
  const valve = cause('valve', { severity: 0.5 });
  const plumbing = cause('plumbing', { fixer: 'other-trade', severity: 1, reach: 'machine' });
  const normal = cause('normal', { fixer: 'nobody' });
  // Group loss: 30 coffees in the first two hours, none later; all: 60 an hour, then 30.

  it('booking: the fee and waiting four hours; two visits and five hours when it is another trade\'s', () => {
    expect(endCost('book', valve, 0, 0, rates)).toBe(100 + 0.5 * 60);
    expect(endCost('book', plumbing, 0, 0, rates)).toBe(100 + 70 + 2 * 210);
    expect(endCost('book', normal, 0, 0, rates)).toBe(100);
  });

  it('out of hours costs more', () => {
    expect(endCost('book', valve, 0, 0, ratesOf(cafe({ outOfHours: true })))).toBe(140 + 0.5 * 60);
  });

  it('the other trade: its fee and an hour; both when it was the technician\'s', () => {
    expect(endCost('other-trade', plumbing, 0, 0, rates)).toBe(70 + 2 * 60);
    expect(endCost('other-trade', valve, 0, 0, rates)).toBe(100 + 70 + 0.5 * 60);
  });

  it('nothing wrong: free if so; else noticed a day later, with a call that does not come well', () => {
    expect(endCost('nothing-wrong', normal, 0, 0, rates)).toBe(0);
    expect(endCost('nothing-wrong', valve, 0, 0, rates)).toBe((1 + WRONG_ALL_CLEAR) * 100 + 0.5 * 60);
    expect(NOTICED_AFTER).toBe(1440);
  });

  it('a job: minutes of staff, parts, and the group that stands still meanwhile unless it is a cold one', () => {
    const hot = job('wipe', {}, { minutes: 10, parts: 3, down: { reach: 'group', minutes: 60 } });
    expect(jobCost({ job: hot, cures: new Float64Array() }, rates)).toBe(2 + 3 + 2 * 15);
    expect(jobCost({ job: { ...hot, machine: 'cold' }, cures: new Float64Array() }, rates)).toBe(5);
  });
});

describe('money', () => {
  it('not set is reckoned with assumed proportions, and said to be missing', () => {
    expect(reckonedMoney({})).toEqual(ASSUMED_MONEY);
    expect(missingMoney({})).toEqual(['callFee', 'staffAnHour', 'margin']);
    expect(missingMoney({ callFee: 90, margin: 2 })).toEqual(['staffAnHour']);
    expect(missingMoney({ callFee: 90, margin: 2, staffAnHour: 12 })).toEqual([]);
    expect(reckonedMoney({ callFee: 90 }).callFee).toBe(90);
  });
});

it('leaving a group out until the morning is chosen off-peak, and going on when the queue needs it', () => {
  const of = model({
    causes: [cause('seal', { fixer: 'staff', severity: 0.3, waste: 2 })],
    jobs: [job('change', { seal: 0.95 }, { machine: 'cold', minutes: 20, parts: 6 })],
    symptoms: [symptom({ seal: 1 })],
  });
  const plan = (coffeesAnHour: number): { steps: readonly { meanwhile: string }[]; end: { meanwhile: string } } => {
    const at = cafe({ trade: [{ startsIn: 0, minutes: 600, coffeesAnHour }], coldSlots: [{ startsIn: 1300, minutes: 60 }], technicianIn: 200, money: { ...cafe().money, callFee: 400 } });
    const laid = bench(of, at, aCase());
    return laid.solver.plan(laid.chance, laid.limits).best;
  };
  expect(plan(20).steps[0]?.meanwhile).toBe('group-out');
  expect(plan(60).steps[0]?.meanwhile).toBe('go-on');
});
