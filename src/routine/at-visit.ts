import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { readLastDone } from './records.ts';

export type AtVisit = { readonly visit: string; readonly cafe: string; readonly machine: string; readonly jobs: readonly string[]; readonly at: Instant };

/** What of these jobs there is here: the machine's own, and those of the whole café. */
const dutiesFor = async (tx: Tx, { cafe, machine, jobs }: AtVisit): Promise<readonly string[]> => {
  if (jobs.length === 0) return [];
  const rows = await tx.selectFrom('duty').select('id').where('cafe', '=', cafe).where('job', 'in', [...jobs]).where((eb) => eb.or([eb('machine', '=', machine), eb('machine', 'is', null)])).execute();
  return rows.map(({ id }) => id);
};

/** Jobs that somebody did who answers no list. Told again, what was told of this visit before and is not named any more was not done. */
export const doneAtVisit = async (tx: Tx, told: AtVisit): Promise<void> => {
  const duties = await dutiesFor(tx, told);
  const before = (await tx.selectFrom('done_at_visit').select('duty').where('visit', '=', told.visit).execute()).map(({ duty }) => duty);
  const gone = before.filter((duty) => !duties.includes(duty));
  if (gone.length > 0) await tx.deleteFrom('done_at_visit').where('visit', '=', told.visit).where('duty', 'in', gone).execute();
  for (const duty of duties.filter((each) => !before.includes(each))) await tx.insertInto('done_at_visit').values({ id: `${told.visit}.${duty}`, cafe: told.cafe, visit: told.visit, duty, at: told.at }).execute();
  for (const duty of new Set([...gone, ...duties])) await readLastDone(tx, duty);
};
