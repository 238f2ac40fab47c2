import { calendarOf } from '../cafe/calendar.ts';
import { cafeById, machinesOf, type Cafe, type Machine } from '../cafe/records.ts';
import type { TimerKind } from '../cafe/subject.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { plusDays } from '../time/local-date.ts';
import { dateAt, instantOf, localTime } from '../time/wall-time.ts';
import { closingsOf } from './form-records.ts';
import { formFor } from './short-form.ts';
import { setDates } from './dates.ts';
import { dutiesOf, setDuty } from './records.ts';
import type { Job } from './standard.ts';
import type { Usual } from './usual.ts';

/** When what is in a group is likely to be due; undefined while nothing is known of it or it is planned already. */
export type Forecast = (tx: Tx, cafe: Cafe, machine: Machine, group: number, now: Instant) => Promise<{ readonly due: Instant } | undefined>;

export const RECKON = 'routine.reckon';
const NIGHT = localTime('03:30');

const keyOf = (cafe: string): string => `${RECKON}.${cafe}`;

/** Cafés of one zone are spread over two hours of the night. */
const spread = (id: string): number => minutes(Array.from(id).reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % 120, 0));

/** Once a week at night, since a forecast moves with the days; asked for again, the sooner one stands. */
export const setReckoning = async (tx: Tx, ids: Ids, cafe: Cafe, now: Instant): Promise<void> => {
  const planned = await tx.selectFrom('timer').select('id').where('key', '=', keyOf(cafe.id)).where('active', '=', 1).executeTakeFirst();
  if (planned || cafe.state !== 'live') return;
  await setTimer(tx, ids, now, { key: keyOf(cafe.id), cafe: cafe.id, kind: RECKON, ref: cafe.id, at: later(instantOf(plusDays(dateAt(now, cafe.zone), 1), NIGHT, cafe.zone), spread(cafe.id)) });
};

/** Something that dates hang on has changed: a job was done, a counter read, a seal looked at. */
export const reckonSoon = async (tx: Tx, ids: Ids, cafe: string, now: Instant): Promise<void> =>
  setTimer(tx, ids, now, { key: keyOf(cafe), cafe, kind: RECKON, ref: cafe, at: now });

export type ReckonNeeds = { readonly ids: Ids; readonly jobs: readonly Job[]; readonly usual: Usual; readonly forecast: Forecast; /** Asks for what will soon have to be there. */ readonly toOrder: (tx: Tx, cafe: Cafe, now: Instant) => Promise<void> };

const readForecasts = async (tx: Tx, { jobs, forecast }: ReckonNeeds, cafe: Cafe, now: Instant): Promise<void> => {
  const forecasts = new Set(jobs.filter((job) => job.forecast !== undefined).map(({ id }) => id));
  const machines = new Map((await machinesOf(tx, cafe.id)).map((machine) => [machine.id, machine]));
  for (const duty of await dutiesOf(tx, cafe.id)) {
    const machine = machines.get(duty.machine ?? '');
    if (!machine || duty.group_number === null || duty.active === 0 || !forecasts.has(duty.job)) continue;
    const due = (await forecast(tx, cafe, machine, duty.group_number, now))?.due ?? null;
    if (due !== duty.forecast_at) await setDuty(tx, duty.id, { forecast_at: due });
  }
};

/** Asks for the forecasts of a café, sets its dates anew and the form in which its closing lists are shown. */
export const reckonTimer = (needs: ReckonNeeds): TimerKind => ({
  kind: RECKON,
  fire: async (tx, { ref }, now) => {
    const cafe = await cafeById(tx, ref);
    if (!cafe || cafe.state !== 'live') return;
    await readForecasts(tx, needs, cafe, now);
    await needs.toOrder(tx, cafe, now);
    await setDates(tx, needs.jobs, needs.usual, cafe, calendarOf(cafe), now, true);
    const shape = formFor(await closingsOf(tx, ref, now), now);
    if (shape !== (cafe.list_form ?? 'long')) await tx.updateTable('cafe').set({ list_form: shape }).where('id', '=', ref).execute();
    const again = later(instantOf(plusDays(dateAt(now, cafe.zone), 7), NIGHT, cafe.zone), spread(ref));
    await setTimer(tx, needs.ids, now, { key: keyOf(ref), cafe: ref, kind: RECKON, ref, at: again });
  },
});
