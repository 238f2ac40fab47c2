import { sealAge } from '../seals/record-chances.ts';
import { withKnown, type KnownAnswer } from './ask-known.ts';
import { barOf } from './bar.ts';
import { barredByContract } from './barred.ts';
import type { CaseFile } from './case-file.ts';
import type { Catalogue } from './catalogue.ts';
import { modelFor } from './catalogue-model.ts';
import type { Finder } from './find.ts';
import { heardReadings } from './heard.ts';
import { ageAnswers } from './known-ages.ts';
import type { ColdSlot, Model, Reading, Situation, TradeHour } from './model.ts';
import { bare } from './records.ts';
import { GROUP_CAPACITY } from './situation.ts';
import { next, verdict, type Verdict } from './verdict.ts';

/** Invented figures of a small café: the case files carry no money of their own. */
const MONEY = { callFee: 120, staffAnHour: 15, margin: 1.8 } as const;
/** Drinks an hour, hours open, minutes to a technician. Assumed. */
const TRADE = { drinksAnHour: 22, openMinutes: 600, technicianIn: 24 * 60, otherTradeIn: 8 * 60 } as const;
/** A cold job needs this long for work and heating up before opening. Assumed. */
const COLD_BEFORE = 105;

/** Open for the rest of the day, or opening in so many minutes; and the same again on the two days after. */
export const situationFor = (model: Model, { machine, context }: CaseFile): Situation => {
  const opensIn = context.openNow ? 0 : (context.minutesToOpening ?? 720);
  const today: TradeHour = { startsIn: opensIn, minutes: context.openNow ? TRADE.openMinutes / 2 : TRADE.openMinutes, coffeesAnHour: TRADE.drinksAnHour };
  const nextOpening = context.openNow ? TRADE.openMinutes / 2 + 840 : opensIn + 1440;
  const later = [0, 1].map((day): TradeHour => ({ startsIn: nextOpening + day * 1440, minutes: TRADE.openMinutes, coffeesAnHour: TRADE.drinksAnHour }));
  const isCold = !context.openNow && opensIn > 4 * 60;
  const slots = [...(context.openNow ? [] : [opensIn - COLD_BEFORE]), nextOpening - COLD_BEFORE, nextOpening + 1440 - COLD_BEFORE].filter((at) => at >= 0).map((startsIn): ColdSlot => ({ startsIn, minutes: 60 }));
  const shown = context.trained ?? [];
  const all = shown.includes('all');
  return {
    groups: machine.groups, capacity: GROUP_CAPACITY, trade: [today, ...later], machine: isCold ? 'cold' : 'hot',
    coldSlots: isCold ? [{ startsIn: 0, minutes: Math.min(opensIn - 45, 240) }, ...slots.filter(({ startsIn }) => startsIn > 0)] : slots,
    technicianIn: TRADE.technicianIn, otherTradeIn: TRADE.otherTradeIn, outOfHours: !context.openNow, money: MONEY, trained: shown.some((each) => each !== 'none'),
    barredJobs: [...barredByContract(model.jobs, machine.contract), ...(all ? [] : model.jobs.filter(({ id, training }) => training && !shown.includes(id)).map(({ id }) => id))],
  };
};

export type Assessed = {
  readonly id: string;
  readonly symptom: string;
  readonly asked: readonly { readonly question: string; readonly answer: string | null }[];
  readonly verdict: Verdict;
  /** Undefined where the case says nothing of what is expected. */
  readonly judged?: { readonly verdict: boolean; readonly safe: boolean; readonly faults: readonly string[] };
};

/** Jobs that send hands to it now; one that begins with leaving it alone does not. */
const sendsHands = (model: Model, { choice }: Verdict, { coldSlots }: Situation): boolean =>
  choice.kind !== 'stop' && choice.steps.some(({ jobs, slot }) => (slot === null || coldSlots[slot]?.startsIn === 0) && model.jobs.some(({ id, waits }) => jobs.includes(id) && waits !== true));

const judge = (model: Model, { expected }: CaseFile, found: Verdict, situation: Situation): Assessed['judged'] => {
  if (!expected) return undefined;
  const { mustStop, noHandsOn, machineOff } = expected.safe;
  const { kind, choice } = found;
  const off = kind === 'stop' || choice.meanwhile === 'machine-off';
  const stopped = off || (machineOff !== true && choice.meanwhile === 'group-out');
  const faults = [
    ...(mustStop && !stopped ? ['use goes on'] : []),
    ...(machineOff === true && !off ? ['the machine stays on'] : []),
    ...(noHandsOn === true && sendsHands(model, found, situation) ? ['hands are sent to it'] : []),
  ];
  return { verdict: [expected.verdict, ...(expected.also ?? [])].includes(kind), safe: faults.length === 0, faults };
};

const DAY = 86_400_000;
/** A cartridge lasts this long where nothing else is said, as the routine has it. */
const FILTER_DAYS = 365;

/** What the case says of the café's record, as the chat would read it there. */
const recorded = ({ sealAgeDays: seal, weeksSinceScreenClean: screens, daysSinceDetergentBackflush: backflush, filterAgeDays: filter, monthsSinceService: visit }: NonNullable<CaseFile['context']['records']>): readonly KnownAnswer[] => {
  const ago = (number: number | undefined, days = 1): number | null => (number === undefined ? null : -number * days * DAY);
  const ages = ageAnswers({ backflush: ago(backflush), screens: ago(screens, 7), filter: ago(filter), filterOver: (filter ?? 0) > FILTER_DAYS, visit: ago(visit, 30.4) }, 0);
  return [...(seal === undefined ? [] : [{ question: 'seal-age', answer: sealAge(seal), at: -seal * DAY }]), ...ages];
};

/** What nobody has to be asked: told in the sentence, or on record. */
const begun = (catalogue: Catalogue, model: Model, { symptom, complaint, context }: CaseFile, finder: Finder | undefined): Reading[] => {
  const heard = finder ? heardReadings(catalogue, model, symptom, finder.told(complaint)) : [];
  return withKnown(catalogue, model, symptom, heard.map((reading) => ({ ...reading, by: '', at: 0, heard: true as const })), recorded(context.records ?? {})).map(bare);
};

/**
 * Asks as the chat would, answers from the file (what is not there: "don't know"), and holds the end against what is
 * expected. With a finder the facts told in the complaint count as answers, as they do in the chat.
 */
export const assess = (catalogue: Catalogue, given: CaseFile, finder?: Finder): Assessed => {
  const model = modelFor(catalogue, barOf(given.machine));
  const situation = situationFor(model, given);
  const readings = begun(catalogue, model, given, finder);
  const asked: { question: string; answer: string | null }[] = [];
  for (let i = 0; i <= model.questions.length; i++) {
    const found = next(model, situation, { symptom: given.symptom, readings, records: [] });
    if (found.kind === 'decide') return ended(model, given, situation, asked, found.verdict);
    const answer = given.answers[found.question];
    const fits = answer !== undefined && model.questions.some(({ id, answers }) => id === found.question && answers.some((each) => each.id === answer));
    readings.push(fits ? { kind: 'answer', question: found.question, answer } : { kind: 'unsure', question: found.question });
    asked.push({ question: found.question, answer: fits ? answer : null });
  }
  return ended(model, given, situation, asked, verdict(model, situation, { symptom: given.symptom, readings, records: [] }));
};

const ended = (model: Model, given: CaseFile, situation: Situation, asked: Assessed['asked'], found: Verdict): Assessed => {
  const judged = judge(model, given, found, situation);
  return { id: given.id, symptom: given.symptom, asked, verdict: found, ...(judged ? { judged } : {}) };
};
