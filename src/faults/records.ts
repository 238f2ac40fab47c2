import type { Selectable } from 'kysely';
import type { Machine } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { CaseRow, DangerRow } from '../store/tables/faults.ts';
import { hours, type Instant } from '../time/instant.ts';
import type { Reading } from './model.ts';

export type CaseRecord = Selectable<CaseRow>;
export type DangerRecord = Selectable<DangerRow>;

/** A reading with who gave it and when; `heard`: it stood in the complaint; `seen`: it stands on record since then. Neither was asked. */
export type Told = Reading & { readonly by: string; readonly at: number; readonly heard?: true; readonly seen?: number };

/** Somebody was asked for it in this case. */
export const wasAsked = ({ heard, seen }: Told): boolean => heard !== true && seen === undefined;

/** The reading alone, as it is reckoned with. */
export const bare = ({ by: _by, at: _at, heard: _heard, seen: _seen, ...reading }: Told): Reading => reading;

/** Where a case is shown: a key of the outbox and its place. */
export type ShownAt = { readonly key: string; readonly place: string };

export const readingsOf = (row: Pick<CaseRecord, 'readings'>): readonly Told[] => JSON.parse(row.readings) as readonly Told[];
export const nearestOf = (row: Pick<CaseRecord, 'nearest'>): readonly string[] => JSON.parse(row.nearest) as readonly string[];
export const shownOf = (row: Pick<CaseRecord, 'shown'>): readonly ShownAt[] => JSON.parse(row.shown) as readonly ShownAt[];

export const caseById = async (tx: Tx, id: string): Promise<CaseRecord | undefined> => tx.selectFrom('fault_case').selectAll().where('id', '=', id).executeTakeFirst();

export const insertCase = async (tx: Tx, row: CaseRecord): Promise<void> => {
  await tx.insertInto('fault_case').values(row).execute();
};

/** Changes a case; its revision counts up, so that a press on an older step is known as one. */
export const changeCase = async (tx: Tx, id: string, change: Partial<CaseRecord>): Promise<void> => {
  await tx.updateTable('fault_case').set((eb) => ({ ...change, rev: eb('rev', '+', 1) })).where('id', '=', id).execute();
};

/** Cases of a café not yet at their end, newest first. */
export const openCases = async (tx: Tx, cafe: string): Promise<readonly CaseRecord[]> =>
  tx.selectFrom('fault_case').selectAll().where('cafe', '=', cafe).where('closed_at', 'is', null).orderBy('opened_at', 'desc').limit(20).execute();

export const dangerById = async (tx: Tx, id: string): Promise<DangerRecord | undefined> => tx.selectFrom('danger').selectAll().where('id', '=', id).executeTakeFirst();

export const insertDanger = async (tx: Tx, row: DangerRecord): Promise<void> => {
  await tx.insertInto('danger').values(row).execute();
};

export const changeDanger = async (tx: Tx, id: string, change: Partial<DangerRecord>): Promise<void> => {
  await tx.updateTable('danger').set((eb) => ({ ...change, rev: eb('rev', '+', 1) })).where('id', '=', id).execute();
};

/** A danger that belongs to a case, whatever became of it. */
export const dangerOfCase = async (tx: Tx, caseId: string): Promise<DangerRecord | undefined> => tx.selectFrom('danger').selectAll().where('case_id', '=', caseId).limit(1).executeTakeFirst();

/** Was a danger of this machine told of after an instant, and not found to be none? */
export const dangerAfter = async (tx: Tx, machine: string, after: number): Promise<boolean> =>
  (await tx.selectFrom('danger').select('id').where('machine', '=', machine).where('at', '>', after).where('state', 'not in', [...PAST]).limit(1).executeTakeFirst()) !== undefined;

/** Detergent in a known group is rinsed out by the bar: nobody has to come for it. */
export const isRinsedOut = ({ kind, group_number: group }: Pick<DangerRecord, 'kind' | 'group_number'>): boolean => kind === 'chemical' && group !== null;

/** States in which a danger no longer counts. */
export const PAST: readonly string[] = ['false alarm', 'over', 'rinsed'];

/** The last danger of that kind told of in a café since an instant. */
export const recentDanger = async (tx: Tx, cafe: string, kind: string, since: number): Promise<DangerRecord | undefined> =>
  tx.selectFrom('danger').selectAll().where('cafe', '=', cafe).where('kind', '=', kind).where('at', '>=', since).orderBy('at', 'desc').limit(1).executeTakeFirst();

/** A danger nobody has answered counts for this long: longer ago, the steps have scrolled away. */
const UNANSWERED_COUNTS = hours(6);

/** What goes before all questions about a machine: a danger nobody has answered, or that it must stay off. */
export const firstThings = async (tx: Tx, machine: Pick<Machine, 'id' | 'state'>, now: Instant): Promise<'danger' | 'off' | null> => {
  if (machine.state === 'must stay off') return 'off';
  const told = await tx.selectFrom('danger').select('id').where('machine', '=', machine.id).where('group_number', 'is', null).where('state', '=', 'told').where('at', '>', now - UNANSWERED_COUNTS).limit(1).executeTakeFirst();
  return told ? 'danger' : null;
};
