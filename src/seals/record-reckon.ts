import { cafesById, groupsOf, machinesOf, type Cafe, type Machine } from '../cafe/records.ts';
import { readMoney } from '../cafe/money.ts';
import type { Tx } from '../store/store.ts';
import { instant, type Instant } from '../time/instant.ts';
import type { SealConstants } from './constants.ts';
import { learnedPrior } from './fleet.ts';
import type { Fit } from './fit.ts';
import { assumedPrior, type LifePrior } from './life.ts';
import { groupRecordOf, type GroupHistory, type PaceFor } from './record-evidence.ts';
import { forecastGroups, nextSize, nextStack, type NextStack, type SealForecast } from './record-forecast.ts';
import { historyOf, recordOf } from './records.ts';
import { paceOf } from './ring-evidence.ts';

/** One group of a café with everything believed of its seal. */
export type GroupNow = {
  readonly machine: Machine;
  readonly group: number;
  /** Out of use: nothing is due there until it is back. */
  readonly out: boolean;
  readonly history: GroupHistory;
  readonly forecast: SealForecast;
  readonly fit: Fit | undefined;
  readonly next: NextStack | undefined;
  /** How fast seals age here against the usual café. */
  readonly pace: number;
};

const paceFor = (cafe: Cafe, constants: SealConstants): PaceFor => {
  const coffees = readMoney(cafe.money).drinksDay ?? constants.life.usualCoffees;
  return (material) => paceOf(Math.max(1, coffees), material ?? 'rubber', constants.life);
};

const historiesOf = async (tx: Tx, cafe: string): Promise<readonly { readonly machine: Machine; readonly group: number; readonly out: boolean; readonly history: GroupHistory }[]> => {
  const all = [];
  for (const machine of await machinesOf(tx, cafe)) {
    const record = await recordOf(tx, machine.id);
    for (const { number, state } of await groupsOf(tx, machine.id)) all.push({ machine, group: number, out: state === 'out of use', history: historyOf(machine, record, number) });
  }
  return all;
};

/**
 * Forecasts out of the store. What cafés learn together is a prior alone: no café's seals are seen by another. It is
 * learned anew when seals came out since.
 */
export const createReckoner = (constants: SealConstants) => {
  const known = { lives: -1, prior: assumedPrior(constants.life) };

  const learnTogether = async (tx: Tx, now: Instant): Promise<LifePrior> => {
    const ids = (await tx.selectFrom('cafe').select('id').where('learn_together', '=', 1).where('state', '!=', 'gone').orderBy('id').execute()).map(({ id }) => id);
    if (ids.length === 0) return assumedPrior(constants.life);
    const { n } = await tx.selectFrom('seal_fitting').select((eb) => eb.fn.countAll<number>().as('n')).where('cafe', 'in', ids).where('part', '=', 'seal').where('out_at', 'is not', null).where('superseded_by', 'is', null).executeTakeFirstOrThrow();
    const lives = Number(n);
    if (lives < constants.life.learnFromLives) return assumedPrior(constants.life);
    if (lives === known.lives) return known.prior;
    const cafes = await cafesById(tx, ids);
    const records = [];
    for (const cafe of cafes) records.push((await historiesOf(tx, cafe.id)).map(({ history }) => groupRecordOf(history, paceFor(cafe, constants), now)));
    known.prior = learnedPrior(records, constants);
    known.lives = lives;
    return known.prior;
  };

  const groupsNow = async (tx: Tx, cafe: Cafe, now: Instant): Promise<readonly GroupNow[]> => {
    const all = await historiesOf(tx, cafe.id);
    const prior = cafe.learn_together === 1 ? await learnTogether(tx, now) : assumedPrior(constants.life);
    const pace = paceFor(cafe, constants);
    const forecasts = forecastGroups(all.map(({ history }) => history), pace, prior, constants, now);
    return all.flatMap((one, i) => {
      const forecast = forecasts[i];
      if (!forecast) return [];
      const fit = nextSize(one.history, constants, now);
      return [{ ...one, forecast, fit, next: nextStack(one.history, fit, constants, now), pace: pace(one.history.seals.findLast(({ outAt }) => outAt === null)?.material ?? null) }];
    });
  };

  const groupNow = async (tx: Tx, cafe: Cafe, machine: Machine, group: number, now: Instant): Promise<GroupNow | undefined> =>
    (await groupsNow(tx, cafe, now)).find((each) => each.machine.id === machine.id && each.group === group);

  /** When the seal of a group is due, for the routine. */
  const forecastFor = async (tx: Tx, cafe: Cafe, machine: Machine, group: number, now: Instant): Promise<(SealForecast & { readonly due: Instant }) | undefined> => {
    const found = await groupNow(tx, cafe, machine, group, now);
    return found && { ...found.forecast, due: instant(now + found.forecast.change.inDays * 86_400_000) };
  };

  return { groupsNow, groupNow, forecastFor };
};

export type Reckoner = ReturnType<typeof createReckoner>;
