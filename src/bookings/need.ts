import { calendarOf } from '../cafe/calendar.ts';
import { readMoney } from '../cafe/money.ts';
import { groupsOf, machineById, type Cafe, type Machine, type Technician } from '../cafe/records.ts';
import type { CaseRecord, DangerRecord } from '../faults/records.ts';
import { GROUP_CAPACITY } from '../faults/situation.ts';
import type { Verdict } from '../faults/verdict.ts';
import type { Tx } from '../store/store.ts';
import { hours, type Instant } from '../time/instant.ts';
import { assumedWorkWeek, openSpans, workSpans } from './cafe-times.ts';
import type { Span } from './span.ts';
import { assumedUrgency, urgencyOf, type LostTrade, type Situation, type Urgency } from './urgency.ts';

const DAYS_AHEAD = 8;

export const verdictOf = (row: Pick<CaseRecord, 'verdict'> | undefined): Verdict | null => (row?.verdict ? (JSON.parse(row.verdict) as Verdict) : null);

/** Kinds of danger that threaten the machine and the house, and nobody's body. */
const THINGS: readonly string[] = ['flood', 'chemical'];

export type Trouble = { readonly cafe: Cafe; readonly machine: Machine | undefined; readonly aCase: CaseRecord | undefined; readonly danger: DangerRecord | undefined };

const dangerOf = ({ aCase, danger, machine }: Trouble): Situation['danger'] => {
  if (danger) return THINGS.includes(danger.kind) ? 'machine' : 'people';
  return verdictOf(aCase)?.kind === 'stop' || machine?.state === 'must stay off' ? 'machine' : 'none';
};

/** Groups that cannot be used until somebody has come, by number. */
export const groupsOut = async (tx: Tx, { machine, aCase }: Pick<Trouble, 'machine' | 'aCase'>): Promise<readonly number[]> => {
  if (!machine) return [];
  const groups = await groupsOf(tx, machine.id);
  const all = groups.map(({ number }) => number);
  const meanwhile = verdictOf(aCase)?.choice.meanwhile;
  if (machine.state !== 'in use' || meanwhile === 'machine-off') return all;
  const out = groups.filter(({ state }) => state === 'out of use').map(({ number }) => number);
  const left = meanwhile === 'group-out' && aCase?.group_number ? [aCase.group_number] : [];
  return [...new Set([...out, ...left])].sort((a, b) => a - b);
};

/** Trade lost in the coming openings, spread evenly over them; null while the café has not set what a drink leaves. */
const lostTrade = (cafe: Cafe, open: readonly Span[], groups: number, down: number): readonly LostTrade[] | null => {
  const { margin, drinksDay } = readMoney(cafe.money);
  if (margin === undefined || drinksDay === undefined) return null;
  return open.map((span) => {
    const demand = drinksDay / Math.max(1, (span.end - span.start) / hours(1));
    return { ...span, perHour: Math.max(0, demand - (groups - down) * GROUP_CAPACITY) * margin };
  });
};

export type WorksOf = (technician: Technician) => readonly Span[] | undefined;

/** When the first technician may be asked: in their hours of work, as far as known. */
const askable = (technicians: readonly Technician[], cafe: Cafe, works: WorksOf, now: Instant): readonly Span[] => {
  const [first] = technicians;
  return (first && works(first)) ?? workSpans(assumedWorkWeek, first?.zone ?? cafe.zone, now, DAYS_AHEAD);
};

export const needOf = async (tx: Tx, trouble: Trouble, technicians: readonly Technician[], works: WorksOf, now: Instant): Promise<Urgency> => {
  const { cafe, machine } = trouble;
  const open = openSpans(calendarOf(cafe), cafe.zone, now, DAYS_AHEAD);
  const groups = machine?.groups ?? 0;
  const groupsDown = (await groupsOut(tx, trouble)).length;
  const situation: Situation = { danger: dangerOf(trouble), groups, groupsDown, open, lost: lostTrade(cafe, open, groups, groupsDown), agreed: null, askable: askable(technicians, cafe, works, now) };
  return urgencyOf(situation, now, { ...assumedUrgency, lossWorthAVisit: readMoney(cafe.money).callOut ?? assumedUrgency.lossWorthAVisit });
};

export const troubleOf = async (tx: Tx, cafe: Cafe, aCase: CaseRecord | undefined, danger: DangerRecord | undefined): Promise<Trouble> => {
  const machine = aCase?.machine ?? danger?.machine ?? null;
  return { cafe, aCase, danger, machine: machine === null ? undefined : await machineById(tx, machine) };
};
