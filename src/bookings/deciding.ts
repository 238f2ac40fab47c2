import { mayIn } from '../cafe/rights.ts';
import type { Here } from '../cafe/subject.ts';
import type { Tx } from '../store/store.ts';
import { wishOf } from './records.ts';
import { reachableOwners } from './told.ts';

/** Owners decide on visits; where none of them can be reached, or the question to them did not arrive, the bar does. */
export const mayDecide = async (tx: Tx, cafe: string, { by }: Pick<Here, 'by'>, caseId: string | null): Promise<boolean> => {
  if (await mayIn(tx, cafe, by, 'own')) return true;
  if (!(await mayIn(tx, cafe, by, 'answer'))) return false;
  return (await reachableOwners(tx, cafe)).length === 0 || (caseId !== null && ['bar', 'bar booked'].includes((await wishOf(tx, caseId))?.state ?? ''));
};
