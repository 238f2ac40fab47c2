import type { Tx } from '../store/store.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import type { Closing } from './short-form.ts';

/** Closing lists of a café in the last eight weeks, with everyone who answered on them. */
export const closingsOf = async (tx: Tx, cafe: string, now: Instant): Promise<readonly Closing[]> => {
  const lists = await tx.selectFrom('reminder').select(['id', 'due_at']).where('cafe', '=', cafe).where('moment', '=', 'at-closing').where('due_at', '>=', later(now, -days(56))).where('due_at', '<', now).orderBy('due_at').execute();
  if (lists.length === 0) return [];
  const rows = await tx.selectFrom('occurrence').select(['reminder', 'by_name']).distinct().where('reminder', 'in', lists.map(({ id }) => id)).where('by_name', 'is not', null).where('by_name', '!=', '').execute();
  const names = new Map<string, string[]>();
  for (const { reminder, by_name } of rows) names.set(reminder, [...(names.get(reminder) ?? []), by_name ?? '']);
  return lists.map(({ id, due_at }) => ({ at: instant(due_at), names: names.get(id) ?? [] }));
};
