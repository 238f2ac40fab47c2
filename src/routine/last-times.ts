import type { Tx } from '../store/store.ts';
import { dutiesOf, WATER_ONLY, type Duty } from './records.ts';

/** When jobs that matter for a fault were last done at a machine, epoch ms; null: never on record. */
export type RoutineTimes = {
  readonly backflush: number | null;
  readonly screens: number | null;
  readonly filter: number | null;
  /** The filter came on a list after it was last changed, so it is over its litres or its year. */
  readonly filterOver: boolean;
};

/** Backflushes with water alone do not count: the question is after detergent. */
const lastDetergent = async (tx: Tx, duties: readonly string[]): Promise<number | null> => {
  if (duties.length === 0) return null;
  const row = await tx
    .selectFrom('occurrence').select('done_at').where('duty', 'in', [...duties]).where('state', '=', 'done')
    .where((eb) => eb.or([eb('note', 'is', null), eb('note', '!=', WATER_ONLY)])).orderBy('done_at', 'desc').limit(1).executeTakeFirst();
  return row?.done_at ?? null;
};

export const routineTimes = async (tx: Tx, cafe: string, machine: string): Promise<RoutineTimes> => {
  const duties = (await dutiesOf(tx, cafe)).filter((duty) => duty.machine === machine);
  const named = (job: string): readonly Duty[] => duties.filter((duty) => duty.job === job);
  const last = (job: string): number | null => named(job).reduce<number | null>((latest, { last_done_at: at }) => (at !== null && at > (latest ?? 0) ? at : latest), null);
  const filter = last('cartridge');
  return {
    backflush: await lastDetergent(tx, named('backflush').map(({ id }) => id)),
    screens: last('screens'),
    filter,
    filterOver: filter !== null && named('cartridge').some(({ fired_at: fired }) => (fired ?? 0) > filter),
  };
};
