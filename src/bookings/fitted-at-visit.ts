import { doneElsewhere, reckonSoon } from '../routine/reckon.ts';
import type { Ids } from '../store/id.ts';
import type { Closed } from './closed.ts';

/** Which job of the routine a part stands for that a technician fitted. */
const JOB_OF: Readonly<Record<string, string>> = { 'filter-cartridge': 'cartridge' };

/** The café's dates follow what a technician fitted: the job counts as done on that day, a new seal has a new date. */
export const fittedAtVisit = (ids: Ids): Closed['onFitted'] => async (tx, { cafe, machine, parts, at }, now) => {
  if (machine === null || parts.length === 0) return;
  for (const { part } of parts) if (JOB_OF[part] !== undefined) await doneElsewhere(tx, machine, JOB_OF[part], at);
  await reckonSoon(tx, ids, cafe, now);
};
