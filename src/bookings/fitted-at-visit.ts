import { doneAtVisit } from '../routine/at-visit.ts';
import { reckonSoon } from '../routine/reckon.ts';
import type { Ids } from '../store/id.ts';
import type { Closed } from './closed.ts';

/** Which job of the routine a part stands for that a technician fitted. */
const JOB_OF: Readonly<Record<string, string>> = { 'filter-cartridge': 'cartridge', burrs: 'burrs' };

/** The café's dates follow what a technician fitted, and go back with a correction: the job counts as done on that day, a new seal has a new date. */
export const fittedAtVisit = (ids: Ids): Closed['onFitted'] => async (tx, { id, cafe, machine, parts, at }, now) => {
  if (machine === null) return;
  await doneAtVisit(tx, { visit: id, cafe, machine, jobs: parts.flatMap(({ part }) => JOB_OF[part] ?? []), at });
  await reckonSoon(tx, ids, cafe, now);
};
