import { calendarOf } from '../cafe/calendar.ts';
import { readMachineFacts } from '../cafe/machine-facts.ts';
import { readMoney } from '../cafe/money.ts';
import { cafeById, groupsOf, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import { personId } from '../chat/who.ts';
import type { Tx } from '../store/store.ts';
import { minutes, type Instant } from '../time/instant.ts';
import { withKnown } from './ask-known.ts';
import type { AskNeeds, Laid } from './ask-needs.ts';
import { barOf } from './bar.ts';
import { barredByContract } from './barred.ts';
import { modelFor, type Bar } from './catalogue-model.ts';
import { casesOver, createLearned } from './learned.ts';
import type { Model } from './model.ts';
import { dangerOf } from './danger-kind.ts';
import { bare, dangerOfCase, nearestOf, readingsOf, wasAsked, type CaseRecord } from './records.ts';
import { figuresOf } from '../seals/card-records.ts';
import { isCold, situationOf } from './situation.ts';
import { next, type Verdict } from './verdict.ts';

/** So long the machine is taken to stand as it did at the card the questions began from: less than it takes to heat up. Assumed. */
const STATE_COUNTS = minutes(30);

/** Cold, or not, as the card said; undefined where none did, or too long ago. */
const stateTold = ({ machine_state: state, opened_at: since }: Pick<CaseRecord, 'machine_state' | 'opened_at'>, now: Instant): boolean | undefined =>
  state === null || now - since > STATE_COUNTS ? undefined : state === 'cold';

/** Puts a case before the engine with what the café is like at this moment. */
export const createReckoning = ({ catalogue, recordsFor, answersFor, technicianIn, barredJobs, foundIn, raise }: AskNeeds) => {
  const models = new Map<string, Model>();
  const causes = new Map(catalogue.causes.map((cause) => [cause.id, cause]));
  const immediate = new Map(catalogue.symptoms.flatMap(({ id, immediate: call }) => (call ? [[id, call] as const] : [])));
  const about = new Map(catalogue.symptoms.map((symptom) => [symptom.id, symptom.about]));

  const learned = createLearned();

  const barFor = (machine: Machine): Bar => {
    const facts = readMachineFacts(machine.facts);
    return barOf({ ...machine, filter: facts.filter, screen: facts.screen });
  };
  const keyOf = (bar: Bar): string => `${bar.kind} ${[...bar.has].sort().join(' ')}`;

  const modelOf = (machine: Machine): Model => {
    const bar = barFor(machine);
    const known = models.get(keyOf(bar)) ?? modelFor(catalogue, bar);
    models.set(keyOf(bar), known);
    return known;
  };

  /** The model with what this café, or all that learn together, have seen. */
  const learnedModel = async (tx: Tx, cafe: Cafe, machine: Machine): Promise<Model> =>
    learned(`${cafe.learn_together === 1 ? 'together' : cafe.id} ${keyOf(barFor(machine))}`, modelOf(machine), await casesOver(tx, cafe, foundIn, false));

  const reckon = async (tx: Tx, row: CaseRecord, now: Instant): Promise<Laid | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    const machine = await machineById(tx, row.machine);
    if (!cafe || !machine || row.symptom === null) return undefined;
    const out = (await groupsOf(tx, machine.id)).filter((group) => group.state === 'out of use').length;
    const model = await learnedModel(tx, cafe, machine);
    if (!model.symptoms.some(({ id }) => id === row.symptom)) return undefined;
    // Who was shown what is told job by job, among the barred ones.
    const hours = calendarOf(cafe);
    const situation = situationOf({ groups: Math.max(1, machine.groups - out), hours, trade: readMoney(cafe.money), cold: stateTold(row, now) ?? isCold(hours, figuresOf(cafe, machine), now), trained: true, technicianMinutes: await technicianIn(tx, cafe.id), barred: [...barredByContract(model.jobs, machine.contract), ...(await barredJobs(tx, cafe, personId(row.asker), now))] }, now);
    const readings = readingsOf(row).map(bare);
    return { model, situation, aCase: { symptom: row.symptom, readings, records: await recordsFor(tx, cafe, machine, row.group_number, now) } };
  };

  /** A complaint that is a danger by itself, however it was chosen, and a stop that follows from the answers: steps out, the latter marked at once. */
  const warned = async (tx: Tx, row: CaseRecord, verdict: Verdict, now: Instant): Promise<void> => {
    const call = immediate.get(row.symptom ?? '');
    if ((!call && verdict.kind !== 'stop') || (await dangerOfCase(tx, row.id))) return;
    const cafe = await cafeById(tx, row.cafe);
    const told = { machine: row.machine, by: { id: personId(row.asker), name: row.asker_name }, caseId: row.id, text: row.complaint };
    if (!cafe) return;
    if (call) return raise(tx, { ...told, cafe, group: row.group_number, kind: call.kind, act: call.act }, now);
    await raise(tx, { ...told, cafe, group: null, kind: dangerOf(verdict, causes), act: 'machine-off', reckoned: true }, now);
  };

  /** What need not be asked: it stands on record. */
  const withRecord = async (tx: Tx, row: CaseRecord, machine: Machine | undefined, symptom: string, now: Instant): Promise<string> => {
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe || !machine) return row.readings;
    return JSON.stringify(withKnown(catalogue, modelOf(machine), symptom, readingsOf(row), await answersFor(tx, cafe, machine, row.group_number, now)));
  };

  /** Where the case goes next: what must be settled first, then one more question or the verdict. */
  const advance = async (tx: Tx, row: CaseRecord, now: Instant): Promise<Partial<CaseRecord>> => {
    const machine = await machineById(tx, row.machine);
    if (row.symptom === null) return { step: nearestOf(row).length > 0 ? 'which' : 'closed' };
    const groupKnown = row.group_number !== null || row.group_asked === 1 || readingsOf(row).some(wasAsked);
    if (about.get(row.symptom) === 'group' && (machine?.groups ?? 1) > 1 && !groupKnown && row.step !== 'group') return { step: 'group' };
    const readings = await withRecord(tx, row, machine, row.symptom, now);
    const laid = await reckon(tx, { ...row, readings }, now);
    if (!laid) return { step: 'closed', state: 'closed' };
    const found = next(laid.model, laid.situation, laid.aCase);
    if (found.kind === 'decide') await warned(tx, row, found.verdict, now);
    return found.kind === 'ask'
      ? { readings, step: 'ask', state: row.state === 'waiting for the bar' ? row.state : 'open', question: found.question, hold: found.hold ? 1 : 0, verdict: null }
      : { readings, step: 'verdict', state: 'open', question: null, hold: 0, verdict: JSON.stringify(found.verdict) };
  };

  return { modelOf, reckon, advance };
};

export type Reckoning = ReturnType<typeof createReckoning>;
