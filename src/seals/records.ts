import type { Insertable, Selectable } from 'kysely';
import { readMachineFacts, withMachineFact } from '../cafe/machine-facts.ts';
import type { Machine } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import { days } from '../time/instant.ts';
import type { SealFittingRow, SealLookRow, SealPlanRow, SealReadingRow, SealVerdictRow } from '../store/tables/seals.ts';
import { closesOf, inClosingSense, type Closes } from './closing.ts';
import { UNSEEN_DAYS, type FittedSeal, type GroupHistory, type MachineState } from './record-evidence.ts';
import type { Material } from './wear.ts';

/** Asked for and not read; kept so that it can be corrected. */
export const NOT_READ = 'none';

export type Fitting = Selectable<SealFittingRow>;
export type Reading = Selectable<SealReadingRow>;
export type Look = Selectable<SealLookRow>;
export type VerdictRecord = Selectable<SealVerdictRow>;
export type Plan = Selectable<SealPlanRow>;
/** What anybody reads of a machine's groups: lines that were corrected are left out unless `all` asks for them. */
export type MachineRecord = { readonly fittings: readonly Fitting[]; readonly readings: readonly Reading[] };

export const recordOf = async (tx: Tx, machine: string, all = false): Promise<MachineRecord> => {
  const fittings = await tx.selectFrom('seal_fitting').selectAll().where('machine', '=', machine).orderBy('met_at').orderBy('id').execute();
  const readings = await tx.selectFrom('seal_reading').selectAll().where('machine', '=', machine).orderBy('at').orderBy('id').execute();
  return all ? { fittings, readings } : { fittings: fittings.filter((row) => row.superseded_by === null), readings: readings.filter((row) => row.superseded_by === null) };
};

const asSeal = (row: Fitting): FittedSeal => ({
  fittedAt: row.fitted_at, metAt: row.met_at, outAt: row.out_at, sizeMm: row.size_mm, shimMm: row.shim_mm,
  material: row.material === 'rubber' || row.material === 'silicone' ? (row.material satisfies Material) : null, whyOut: row.why_out, cameOut: row.came_out,
});

/** A seal that was there when the machine came, of the size the machine's facts name. */
const metSeal = (machine: Machine, first: number): FittedSeal => {
  const { seal, shim } = readMachineFacts(machine.facts);
  return { fittedAt: null, metAt: first - days(UNSEEN_DAYS), outAt: null, sizeMm: seal ?? null, shimMm: shim ?? null, material: null, whyOut: null, cameOut: null };
};

/** To which side a group's handle is pushed, as it was read last; undefined while nobody said. */
export const closesIn = (record: MachineRecord, group: number): Closes | undefined =>
  closesOf(record.readings.findLast((row) => row.group_number === group && row.what === 'closes' && row.value !== NOT_READ)?.value);

/** All that counts of one group; where nothing is in it by the record, a seal of unknown age is. */
export const historyOf = (machine: Machine, record: MachineRecord, group: number): GroupHistory => {
  const closes = closesIn(record, group);
  const readings = record.readings.filter((row) => row.group_number === group && row.value !== NOT_READ)
    .map((row) => ({ what: row.what, value: row.what === 'handle' ? inClosingSense(row.value, closes) : row.value, state: row.machine_state as MachineState, at: row.at, look: row.look }));
  const own = record.fittings.filter((row) => row.group_number === group && row.part === 'seal').map(asSeal).toSorted((a, b) => (a.fittedAt ?? a.metAt) - (b.fittedAt ?? b.metAt) || Number(a.outAt === null) - Number(b.outAt === null));
  const seals = own.some(({ outAt }) => outAt === null) ? own : [...own, metSeal(machine, own.at(-1)?.outAt ?? machine.created_at)];
  return { seals, readings, ...(closes ? { closes } : {}) };
};

export const fittingIn = (record: MachineRecord, group: number, part: string): Fitting | undefined =>
  record.fittings.findLast((row) => row.group_number === group && row.part === part && row.out_at === null && row.superseded_by === null);

export const insertFitting = async (tx: Tx, row: Insertable<SealFittingRow>): Promise<void> => {
  await tx.insertInto('seal_fitting').values(row).execute();
};

/** What the machine's facts say of its seals, once every group's seal is written down and they are alike. */
export const factsFollow = async (tx: Tx, machine: Machine, groups: readonly number[]): Promise<void> => {
  const record = await recordOf(tx, machine.id);
  const stacks = groups.map((group) => fittingIn(record, group, 'seal')).map((row) => (row?.size_mm == null ? undefined : { seal: row.size_mm, shim: row.shim_mm }));
  const [first] = stacks;
  if (!first || !stacks.every((each) => each?.seal === first.seal && each.shim === first.shim)) return;
  const sized = withMachineFact(machine.facts, 'seal', first.seal);
  // Nobody said whether a shim is above it: what was known before is not overwritten by a guess.
  const facts = first.shim === null ? sized : withMachineFact(sized, 'shim', first.shim);
  if (facts !== machine.facts) await tx.updateTable('machine').set({ facts }).where('id', '=', machine.id).execute();
};

export const fittingById = async (tx: Tx, id: string): Promise<Fitting | undefined> => tx.selectFrom('seal_fitting').selectAll().where('id', '=', id).executeTakeFirst();

/** The old line stays and names the one that took its place. */
export const supersedeFitting = async (tx: Tx, old: string, by: string): Promise<void> => {
  await tx.updateTable('seal_fitting').set({ superseded_by: by }).where('id', '=', old).where('superseded_by', 'is', null).execute();
};

export const takeOut = async (tx: Tx, id: string, at: number, why: string, cameOut: string): Promise<void> => {
  await tx.updateTable('seal_fitting').set({ out_at: at, why_out: why, came_out: cameOut }).where('id', '=', id).execute();
};

/** It was not taken out after all: what was written of that moment is undone. */
export const putBackIn = async (tx: Tx, machine: string, group: number, part: string, at: number): Promise<void> => {
  await tx.updateTable('seal_fitting').set({ out_at: null, why_out: null, came_out: null }).where('machine', '=', machine).where('group_number', '=', group).where('part', '=', part).where('out_at', '=', at).where('superseded_by', 'is', null).execute();
};

export const noteCameOut = async (tx: Tx, id: string, cameOut: string): Promise<void> => {
  await tx.updateTable('seal_fitting').set({ came_out: cameOut }).where('id', '=', id).execute();
};

export const insertReading = async (tx: Tx, row: Insertable<SealReadingRow>): Promise<void> => {
  await tx.insertInto('seal_reading').values(row).execute();
};

export const readingById = async (tx: Tx, id: string): Promise<Reading | undefined> => tx.selectFrom('seal_reading').selectAll().where('id', '=', id).executeTakeFirst();

export const readingsOfLook = async (tx: Tx, look: string): Promise<readonly Reading[]> =>
  tx.selectFrom('seal_reading').selectAll().where('look', '=', look).where('superseded_by', 'is', null).orderBy('group_number').orderBy('at').orderBy('id').execute();

export const supersedeReading = async (tx: Tx, old: string, by: string): Promise<void> => {
  await tx.updateTable('seal_reading').set({ superseded_by: by }).where('id', '=', old).where('superseded_by', 'is', null).execute();
};

export const insertLook = async (tx: Tx, row: Insertable<SealLookRow>): Promise<void> => {
  await tx.insertInto('seal_look').values(row).execute();
};

export const lookById = async (tx: Tx, id: string): Promise<Look | undefined> => tx.selectFrom('seal_look').selectAll().where('id', '=', id).executeTakeFirst();

export const openLookOf = async (tx: Tx, machine: string, person: string, since: number): Promise<Look | undefined> =>
  tx.selectFrom('seal_look').selectAll().where('machine', '=', machine).where('by_person', '=', person).where('ended_at', 'is', null).where('started_at', '>=', since).orderBy('id', 'desc').limit(1).executeTakeFirst();

export const moveLook = async (tx: Tx, id: string, change: Partial<Insertable<SealLookRow>>): Promise<void> => {
  await tx.updateTable('seal_look').set(change).where('id', '=', id).execute();
};

/** A new verdict on a group; the one told before for the same look stays below it. */
export const tellVerdict = async (tx: Tx, row: Insertable<SealVerdictRow>): Promise<void> => {
  await tx.updateTable('seal_verdict').set({ superseded_by: row.id }).where('look', '=', row.look).where('group_number', '=', row.group_number).where('superseded_by', 'is', null).execute();
  await tx.insertInto('seal_verdict').values(row).execute();
};

export const verdictsOf = async (tx: Tx, look: string): Promise<readonly VerdictRecord[]> =>
  tx.selectFrom('seal_verdict').selectAll().where('look', '=', look).where('superseded_by', 'is', null).orderBy('group_number').execute();

/** All that was told of a group by looks, oldest first. */
export const verdictsOfGroup = async (tx: Tx, machine: string, group: number): Promise<readonly VerdictRecord[]> =>
  tx.selectFrom('seal_verdict').selectAll().where('machine', '=', machine).where('group_number', '=', group).where('superseded_by', 'is', null).orderBy('at').orderBy('id').execute();

/** Notes the case that a verdict led to. */
export const noteCase = async (tx: Tx, id: string, verdict: string): Promise<void> => {
  await tx.updateTable('seal_verdict').set({ verdict }).where('id', '=', id).execute();
};

export const insertPlan = async (tx: Tx, row: Insertable<SealPlanRow>): Promise<void> => {
  await tx.updateTable('seal_plan').set({ state: 'off' }).where('machine', '=', row.machine).where('group_number', '=', row.group_number).where('state', '=', 'planned').execute();
  await tx.insertInto('seal_plan').values(row).execute();
};

export const planById = async (tx: Tx, id: string): Promise<Plan | undefined> => tx.selectFrom('seal_plan').selectAll().where('id', '=', id).executeTakeFirst();

export const planFor = async (tx: Tx, machine: string, group: number): Promise<Plan | undefined> =>
  tx.selectFrom('seal_plan').selectAll().where('machine', '=', machine).where('group_number', '=', group).where('state', '=', 'planned').executeTakeFirst();

export const endPlan = async (tx: Tx, machine: string, group: number): Promise<void> => {
  await tx.updateTable('seal_plan').set({ state: 'done' }).where('machine', '=', machine).where('group_number', '=', group).where('state', '=', 'planned').execute();
};
