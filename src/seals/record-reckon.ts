import { cafesById, groupsOf, machinesOf, type Cafe, type Machine } from '../cafe/records.ts';
import { readMoney } from '../cafe/money.ts';
import type { Tx } from '../store/store.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import type { SealConstants } from './constants.ts';
import { learnedPrior } from './fleet.ts';
import type { Fit } from './fit.ts';
import { assumedPrior, type LifePrior } from './life.ts';
import { groupRecordOf, type GroupHistory, type PaceFor } from './record-evidence.ts';
import { learnedLooks } from './learn-looks.ts';
import { learnedReadingError } from './learn-handle.ts';
import type { LargerHazard } from './outlook.ts';
import { asDrawn, forecastGroups, nextSize, nextStack, repeatsOf, type NextStack, type SealForecast } from './record-forecast.ts';
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

/** A change that is due: `reason` says what speaks for it most, `order` by when to order the seal, and which. */
export type SealDue = SealForecast & {
  readonly due: Instant;
  readonly reason: 'longest-time' | LargerHazard;
  readonly order: { readonly by: Instant; readonly size?: NextStack };
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

type Looks = SealConstants['looks'];
/** What cafés that learn together know: how long seals live, and how far a look can be trusted. */
type Together = { readonly prior: LifePrior; readonly looks: Looks };

/**
 * Forecasts out of the store. What cafés learn together is a prior alone: no café's seals are seen by another. It is
 * learned anew when seals came out since.
 */
export const createReckoner = (constants: SealConstants) => {
  const assumed: Together = { prior: assumedPrior(constants.life), looks: constants.looks };
  const known = { lives: -1, together: assumed };

  const learnTogether = async (tx: Tx, now: Instant): Promise<Together> => {
    const ids = (await tx.selectFrom('cafe').select('id').where('learn_together', '=', 1).where('state', '!=', 'gone').orderBy('id').execute()).map(({ id }) => id);
    if (ids.length === 0) return assumed;
    const { n } = await tx.selectFrom('seal_fitting').select((eb) => eb.fn.countAll<number>().as('n')).where('cafe', 'in', ids).where('part', '=', 'seal').where('out_at', 'is not', null).where('superseded_by', 'is', null).executeTakeFirstOrThrow();
    const lives = Number(n);
    if (lives < constants.life.learnFromLives) return assumed;
    if (lives === known.lives) return known.together;
    const cafes = await cafesById(tx, ids);
    const records = [];
    for (const cafe of cafes) records.push((await historiesOf(tx, cafe.id)).map(({ history }) => groupRecordOf(history, paceFor(cafe, constants), now)));
    const prior = learnedPrior(records, constants);
    known.together = { prior, looks: learnedLooks(records.flat().flatMap(({ finished }) => finished), prior, constants) };
    known.lives = lives;
    return known.together;
  };

  /** The assumed figures with what this café's handles, read twice, say of how they are read, and all cafés of looks. */
  const learnedFor = (histories: readonly GroupHistory[], looks: Looks, now: Instant): SealConstants => {
    const { handle } = asDrawn(constants);
    const readingErrorDegrees = learnedReadingError(histories.flatMap((history) => repeatsOf(history, now)), handle);
    return { ...constants, looks, handle: { ...constants.handle, readingErrorDegrees } };
  };

  const groupsNow = async (tx: Tx, cafe: Cafe, now: Instant): Promise<readonly GroupNow[]> => {
    const all = await historiesOf(tx, cafe.id);
    const { prior, looks } = cafe.learn_together === 1 ? await learnTogether(tx, now) : assumed;
    const learned = learnedFor(all.map(({ history }) => history), looks, now);
    const pace = paceFor(cafe, constants);
    const forecasts = forecastGroups(all.map(({ history }) => history), pace, prior, learned, now);
    return all.flatMap((one, i) => {
      const forecast = forecasts[i];
      if (!forecast) return [];
      const fit = nextSize(one.history, all.filter(({ machine, group }) => machine.id === one.machine.id && group !== one.group).map(({ history }) => history), learned, now);
      return [{ ...one, forecast, fit, next: nextStack(one.history, fit, learned, now), pace: pace(one.history.seals.findLast(({ outAt }) => outAt === null)?.material ?? null) }];
    });
  };

  const groupNow = async (tx: Tx, cafe: Cafe, machine: Machine, group: number, now: Instant): Promise<GroupNow | undefined> =>
    (await groupsNow(tx, cafe, now)).find((each) => each.machine.id === machine.id && each.group === group);

  /** When the seal of a group is due and why, and by when which one has to be ordered; for the routine. */
  const forecastFor = async (tx: Tx, cafe: Cafe, machine: Machine, group: number, now: Instant): Promise<SealDue | undefined> => {
    const found = await groupNow(tx, cafe, machine, group, now);
    if (!found || found.out) return undefined;
    const { change, larger } = found.forecast;
    const due = later(now, days(change.inDays));
    const by = instant(Math.max(now, due - days(constants.change.deliveryDays)));
    return { ...found.forecast, due, reason: change.why === 'longest-time' ? 'longest-time' : larger, order: { by, ...(found.next ? { size: found.next } : {}) } };
  };

  return { groupsNow, groupNow, forecastFor };
};

export type Reckoner = ReturnType<typeof createReckoner>;
