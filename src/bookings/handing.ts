import { calendarOf } from '../cafe/calendar.ts';
import { isOpenAt } from '../cafe/hours.ts';
import { readMachineFacts } from '../cafe/machine-facts.ts';
import { cafeById, groupsOf, machineById, ownersOf, type Cafe, type Machine, type Member } from '../cafe/records.ts';
import type { Catalogue } from '../faults/catalogue.ts';
import { caseById, dangerById, readingsOf, type CaseRecord, type DangerRecord } from '../faults/records.ts';
import type { Verdict } from '../faults/verdict.ts';
import type { Tx } from '../store/store.ts';
import { instant, type Instant } from '../time/instant.ts';
import { openSpans, quietSpans } from './cafe-times.ts';
import type { SealSize } from './bring.ts';
import type { Place } from './distance.ts';
import type { DangerNow, HandoffFacts, LikelyCause } from './handoff-facts.ts';
import type { PartCount } from './kit.ts';
import { groupsOut, verdictOf } from './need.ts';
import { bookingOf, type BookingRecord } from './records.ts';

/** What others know of a machine: asked of the subjects that keep it. */
export type MachineRecord = { readonly seals: HandoffFacts['machine']['seals']; readonly filterFittedAt: Instant | null; readonly gauges: HandoffFacts['readings']['gauges']; readonly tenSeconds: HandoffFacts['readings']['tenSeconds']; readonly hardness: number | null };
export const nothingRecorded: MachineRecord = { seals: [], filterFittedAt: null, gauges: [], tenSeconds: [], hardness: null };

export type HandingNeeds = {
  readonly catalogue: Catalogue;
  readonly recordOf: (tx: Tx, cafe: Cafe, machine: Machine, now: Instant) => Promise<MachineRecord>;
  readonly placeOfCafe: (tx: Tx, cafe: string) => Promise<Place | null>;
  readonly photosOf: (tx: Tx, booking: string) => Promise<HandoffFacts['photos']>;
  /** Sizes of seal that the group of a machine may want. */
  readonly sizesOf: (tx: Tx, machine: Machine | undefined, group: number | null, now: Instant) => Promise<readonly SealSize[]>;
  readonly bringFor: (likely: readonly LikelyCause[], sizes: readonly SealSize[]) => readonly PartCount[];
};

const CHANGED = 'recent-change';
const SWAPS: readonly string[] = ['handle-swap-here', 'handle-swap-there', 'basket-swap'];
const NOTHING_CHANGED: readonly string[] = ['none', 'no', 'no-change', 'nothing'];

/** `groupOut`: the group it is about, while it is out of use. */
export type Handed = { readonly facts: HandoffFacts; readonly cafe: Cafe; readonly machine: Machine | undefined; readonly row: BookingRecord; readonly sizes: readonly SealSize[]; readonly groupOut: number | null };

const PEOPLE: Readonly<Record<string, DangerNow['people']>> = { clear: 'fine', settled: 'fine', hurt: 'hurt', 'everyone out': 'out', 'goes on': 'goes on' };

const dangerNow = ({ state, group_number: group, off_at: offAt }: DangerRecord): DangerNow => ({
  off: offAt !== null ? (group === null ? 'off' : 'group') : state === 'out of reach' ? 'not off' : 'not known', offAt: offAt === null ? null : instant(offAt), people: PEOPLE[state] ?? 'not known',
});

export const createHanding = ({ catalogue, recordOf, placeOfCafe, photosOf, sizesOf, bringFor }: HandingNeeds) => {
  const jobs = new Map(catalogue.jobs.map((job) => [job.id, job]));
  const causes = new Map(catalogue.causes.map((cause) => [cause.id, cause]));
  const questions = new Map(catalogue.questions.map((question) => [question.id, question]));
  const symptoms = new Map(catalogue.symptoms.map((symptom) => [symptom.id, symptom]));

  const workedOn = (cause: string): LikelyCause['worked'] => {
    const cure = Object.entries(causes.get(cause)?.cures ?? {}).toSorted(([, a], [, b]) => b - a)[0]?.[0];
    const state = cure === undefined ? undefined : jobs.get(cure)?.machine;
    return state === 'hot' || state === 'cold' ? state : null;
  };

  const likelyOf = (verdict: Verdict | null): readonly LikelyCause[] =>
    (verdict?.likely ?? []).filter(({ cause, chance }) => cause !== 'something-else' && chance >= 0.03).map(({ cause, chance }) => ({ cause, chance, worked: workedOn(cause.split('+')[0] ?? cause) }));

  const faultOf = (aCase: CaseRecord | undefined, danger: DangerRecord | undefined, about: string): Omit<HandoffFacts['fault'], 'dueBy'> => {
    const verdict = verdictOf(aCase);
    const readings = aCase ? readingsOf(aCase) : [];
    const given = readings.flatMap((reading) => (reading.kind === 'answer' ? [reading] : []));
    const dangers = given.flatMap(({ question, answer }) => (questions.get(question)?.answers.find(({ id }) => id === answer)?.danger ? [`answer.${question}.${answer}`] : []));
    const unanswered = verdict ? verdict.open.length : (symptoms.get(aCase?.symptom ?? '')?.dangers ?? []).filter((question) => !given.some((each) => each.question === question)).length;
    return {
      symptom: aCase?.symptom ? `symptom.${aCase.symptom}` : danger ? `danger.${danger.kind}` : `about.${about}`,
      group: aCase?.group_number ?? danger?.group_number ?? null,
      words: aCase ? { text: aCase.complaint, by: aCase.asker_name } : danger && !danger.text.startsWith('/') ? { text: danger.text, by: danger.by_name } : null,
      answers: given.filter(({ question }) => question !== CHANGED && !SWAPS.includes(question)),
      swapTests: given.filter(({ question }) => SWAPS.includes(question)).map(({ question, answer }) => ({ test: question, result: answer })),
      changedLately: given.filter(({ question, answer }) => question === CHANGED && !NOTHING_CHANGED.includes(answer)).map(({ answer }) => answer),
      tried: readings.flatMap((reading) => (reading.kind === 'tried' ? [`${reading.job}.${reading.result}`] : [])),
      causes: likelyOf(verdict),
      danger: danger ? dangerNow(danger) : null,
      dangers: [...(danger ? [`danger.${danger.kind}`] : []), ...dangers],
      openDangerQuestions: danger ? 0 : unanswered,
    };
  };

  const machineOf = async (tx: Tx, machine: Machine | undefined, cafe: Cafe, aCase: CaseRecord | undefined, record: MachineRecord, now: Instant): Promise<HandoffFacts['machine']> => {
    const known = machine ? readMachineFacts(machine.facts) : {};
    const groups = machine ? await groupsOf(tx, machine.id) : [];
    const year = Number(/(\d{4})/.exec(known.installed ?? '')?.[1] ?? Number.NaN);
    const calendar = calendarOf(cafe);
    const contract = machine?.contract;
    return {
      kind: machine?.kind ?? null,
      groups: machine?.groups ?? null,
      groupsOut: await groupsOut(tx, { machine, aCase }),
      ageYears: Number.isFinite(year) ? Math.max(0, new Date(now).getUTCFullYear() - year) : null,
      power: machine ? { volts: known.volts ?? null, phases: null, connection: null, gas: machine.gas === 'yes' } : null,
      water: machine ? { feed: machine.feed === 'mains' || machine.feed === 'tank' ? machine.feed : null, filterKind: known.filter ?? null, filterFittedAt: record.filterFittedAt } : null,
      contract: contract === 'warranty' || contract === 'lease' || contract === 'loan' || contract === 'own' ? contract : null,
      now: { hot: machine?.state === 'in use' && calendar && isOpenAt(calendar, now) ? true : null, off: machine ? machine.state !== 'in use' : null, waterShut: null, labelled: null },
      seals: groups.map(({ number }) => record.seals.find((seal) => seal.group === number) ?? { group: number, sizeMm: known.seal ?? null, shimMm: known.shim ?? null, sideUp: null, screen: known.screen ?? null, fittedAt: null, handleHour: null }),
    };
  };

  const cafeFacts = async (tx: Tx, cafe: Cafe, owner: Member | undefined, now: Instant): Promise<HandoffFacts['cafe']> => {
    const hours = calendarOf(cafe);
    return {
      name: cafe.name, town: cafe.town, area: null, place: await placeOfCafe(tx, cafe.id), address: cafe.address, door: cafe.door,
      contact: cafe.telephone === null ? null : { name: owner?.name ?? cafe.name, telephone: cafe.telephone },
      open: openSpans(hours, cafe.zone, now, 7), quiet: quietSpans(hours, cafe.zone, now, 7),
      mayDecide: owner ? { who: owner.name, upTo: null } : null,
    };
  };

  /** All that is known of a booking's trouble, for its technician. */
  return async (tx: Tx, row: BookingRecord, now: Instant): Promise<Handed | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe) return undefined;
    const aCase = row.case_id === null ? undefined : await caseById(tx, row.case_id);
    const danger = row.danger_id === null ? undefined : await dangerById(tx, row.danger_id);
    const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
    const record = machine ? await recordOf(tx, cafe, machine, now) : nothingRecorded;
    const [owner] = await ownersOf(tx, cafe.id);
    const booking = bookingOf(row);
    const fault = faultOf(aCase, danger, row.about);
    const groupOut = machine ? ((await groupsOf(tx, machine.id)).find(({ number, state }) => number === fault.group && state === 'out of use')?.number ?? null) : null;
    const sizes = await sizesOf(tx, machine, fault.group, now);
    const facts: HandoffFacts = {
      cafe: await cafeFacts(tx, cafe, owner, now),
      machine: await machineOf(tx, machine, cafe, aCase, record, now),
      fault: { ...fault, dueBy: row.about === 'fault' || row.about === 'danger' ? null : instant(row.visit_by) },
      readings: { gauges: record.gauges, tenSeconds: record.tenSeconds, hardness: record.hardness },
      photos: await photosOf(tx, row.id),
      bring: bringFor(fault.causes, sizes),
      suits: booking.suits,
      answerBy: booking.state.kind === 'asked' ? booking.state.answerBy : null,
    };
    return { facts, cafe, machine, row, sizes, groupOut };
  };
};

export type Handing = ReturnType<typeof createHanding>;
