import type { Tx } from '../store/store.ts';
import { bookingOf } from './records.ts';

/** What technicians found behind these cases, by case; written words that name no known cause are left to people. */
export const findingsOf = async (tx: Tx, cases: readonly string[]): Promise<ReadonlyMap<string, string>> => {
  if (cases.length === 0) return new Map();
  const rows = await tx.selectFrom('booking').selectAll().where('case_id', 'in', [...cases]).execute();
  return new Map(rows.flatMap((row) => {
    const { state } = bookingOf(row);
    return row.case_id !== null && 'closeOut' in state && /^[a-z-]+(\+[a-z-]+)?$/.test(state.closeOut.cause) ? [[row.case_id, state.closeOut.cause] as const] : [];
  }));
};
