import type { Insertable, Selectable } from 'kysely';
import { z } from 'zod';
import { readMachineFacts, writeMachineFacts } from '../cafe/machine-facts.ts';
import type { Cafe, Machine } from '../cafe/records.ts';
import type { PersonId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { CardCheckRow, CardRunRow, CardShownRow } from '../store/tables/cards.ts';
import { instant, type Instant } from '../time/instant.ts';
import type { Figures } from './card-fit.ts';
import type { CardFacts, Known } from './card-gate.ts';
import type { CardResult, Progress } from './job-card.ts';

export type CardRun = Selectable<CardRunRow>;
export type CardShown = Selectable<CardShownRow>;
export type Who = { readonly person: PersonId | null; readonly name: string };

export const runById = async (tx: Tx, id: string): Promise<CardRun | undefined> => tx.selectFrom('card_run').selectAll().where('id', '=', id).executeTakeFirst();

export const openRuns = async (tx: Tx, cafe: string): Promise<readonly CardRun[]> =>
  tx.selectFrom('card_run').selectAll().where('cafe', '=', cafe).where('state', '!=', 'ended').orderBy('id').execute();

/** Cards that have this machine in pieces, those left that way too. */
export const apartRuns = async (tx: Tx, machine: string): Promise<readonly CardRun[]> =>
  tx.selectFrom('card_run').selectAll().where('machine', '=', machine).where('apart', '=', 1).orderBy('id').execute();

export const insertRun = async (tx: Tx, row: Insertable<CardRunRow>): Promise<void> => {
  await tx.insertInto('card_run').values(row).execute();
};

/** How the row is known as someone with their hands at the machine: by account, or by the name chosen on a shared one. */
export const doerOf = (run: Pick<CardRun, 'doer_person' | 'doer_name'>): string => `${run.doer_person ?? ''}/${run.doer_name}`;

export const progressOf = (run: CardRun): Progress => ({
  state: run.state as Progress['state'],
  at: run.screen,
  goesTo: run.go_to,
  assured: run.assured_part === null || run.assured_at === null ? null : { part: run.assured_part, by: run.assured_by ?? '', at: instant(run.assured_at) },
  apart: run.apart === 1,
  residue: run.residue === 1,
  touched: instant(run.touched_at),
  result: run.result as CardResult | null,
  answer: run.answer,
});

export const progressColumns = (progress: Progress) => ({
  state: progress.state,
  screen: progress.at,
  go_to: progress.goesTo,
  assured_part: progress.assured?.part ?? null,
  assured_by: progress.assured?.by ?? null,
  assured_at: progress.assured?.at ?? null,
  apart: progress.apart ? 1 : 0,
  residue: progress.residue ? 1 : 0,
  touched_at: progress.touched,
  result: progress.result,
  answer: progress.answer,
});

export const writeProgress = async (tx: Tx, id: string, progress: Progress, change: Partial<Insertable<CardRunRow>> = {}): Promise<void> => {
  const ended = progress.state === 'ended' ? { ended_at: progress.touched } : {};
  await tx.updateTable('card_run').set({ ...progressColumns(progress), ...ended, ...change }).where('id', '=', id).execute();
};

/** The machine is whole again, whoever opened it. */
export const closedUp = async (tx: Tx, id: string): Promise<void> => {
  await tx.updateTable('card_run').set({ apart: 0 }).where('id', '=', id).execute();
};

/** One answer for each time of asking; a second one replaces it. */
export const recordCheck = async (tx: Tx, row: Insertable<CardCheckRow>): Promise<void> => {
  await tx
    .insertInto('card_check')
    .values(row)
    .onConflict((conflict) => conflict.columns(['run', 'asked_when']).doUpdateSet({ answer: row.answer, leads: row.leads, by_person: row.by_person ?? null, by_name: row.by_name, at: row.at }))
    .execute();
};

export const shownFor = async (tx: Tx, cafe: string, job?: string): Promise<readonly CardShown[]> => {
  const query = tx.selectFrom('card_shown').selectAll().where('cafe', '=', cafe);
  return (job === undefined ? query : query.where('job', '=', job)).orderBy('id').execute();
};

export const shownById = async (tx: Tx, id: string): Promise<CardShown | undefined> => tx.selectFrom('card_shown').selectAll().where('id', '=', id).executeTakeFirst();

/** Notes that somebody was shown a card. What an owner marked is never lowered to what was only said. */
export const noteShown = async (tx: Tx, ids: Ids, now: Instant, row: Omit<CardShown, 'id' | 'at'>): Promise<void> => {
  const same = (await shownFor(tx, row.cafe, row.job)).filter((each) => (row.person === null ? each.person === null && each.name === row.name : each.person === row.person));
  if (same.some((each) => each.how === 'marked') && row.how !== 'marked') return;
  for (const each of same) await forgetShown(tx, each.id);
  await tx.insertInto('card_shown').values({ id: ids(now), ...row, at: now }).execute();
};

export const forgetShown = async (tx: Tx, id: string): Promise<void> => {
  await tx.deleteFrom('card_shown').where('id', '=', id).execute();
};

const known = (value: boolean | undefined): Known => (value === undefined ? 'unknown' : value ? 'yes' : 'no');
const said = (value: string | null): Known => (value === 'yes' || value === 'no' ? value : 'unknown');

const factsIn = (machine: Machine) => readMachineFacts(machine.facts);

/** What the café said of the machine, as far as cards ask. */
export const cardFactsOf = (machine: Machine): CardFacts => {
  const facts = factsIn(machine);
  const feed = (kind: string): Known => (machine.feed === null ? 'unknown' : known(machine.feed === kind));
  const screen = (kind: typeof facts.screen): Known => known(facts.screen === undefined ? undefined : facts.screen === kind);
  return {
    exhaust: said(machine.exhaust), lever: said(machine.lever), gas: said(machine.gas),
    mains: feed('mains'), tank: feed('tank'),
    filter: known(facts.filter === undefined ? undefined : facts.filter !== 'none'),
    softener: known(facts.filter === undefined ? undefined : facts.filter === 'salt softener'),
    'second-group': known(machine.groups > 1),
    'screen-screw': screen('screw'), 'screen-press': screen('seal'), 'screen-block': screen('block'),
  };
};

const figuresSchema = z.object({ coolMinutes: z.number().positive().optional(), heatMinutes: z.number().positive().optional() });

/** The machine's own times, where a technician or its handbook gave them. */
export const figuresOf = (cafe: Pick<Cafe, 'off_at_night'>, machine: Pick<Machine, 'facts'>): Figures => {
  const facts = figuresSchema.parse(JSON.parse(machine.facts));
  return { cool: facts.coolMinutes ?? null, heat: facts.heatMinutes ?? null, offAtNight: cafe.off_at_night === 'yes' || cafe.off_at_night === 'no' ? cafe.off_at_night : null };
};

export const setScreen = async (tx: Tx, machine: Machine, screen: 'screw' | 'seal' | 'block'): Promise<void> => {
  // Kept beside what this version does not know of the machine.
  const all: unknown = JSON.parse(machine.facts);
  const facts = { ...(all as Record<string, unknown>), ...factsIn(machine), screen };
  await tx.updateTable('machine').set({ facts: writeMachineFacts(facts) }).where('id', '=', machine.id).execute();
};

/** Whether detergent may be in a group, or in any group of the machine where none is named. */
export const setResidue = async (tx: Tx, machine: string, group: number | null, there: boolean, now: Instant): Promise<void> => {
  const query = tx.updateTable('machine_group').set(there ? { residue: 'detergent may be in it', residue_since: now } : { residue: 'clear', residue_since: null }).where('machine', '=', machine);
  await (group === null ? query : query.where('number', '=', group)).execute();
};
