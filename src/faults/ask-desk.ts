import { cafeById, machineById, machinesOf, rolesIn } from '../cafe/records.ts';
import { rightsOf } from '../cafe/roles.ts';
import type { Here, Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { isDirect, personId, placeId, type PlaceId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { readMachineFacts } from '../cafe/machine-facts.ts';
import { contractOf } from './barred.ts';
import type { CaseView } from './ask-view.ts';
import { caseMessage } from './ask-views.ts';
import type { AskNeeds } from './ask-needs.ts';
import { turnedSay } from './ask-turned.ts';
import type { Reckoning } from './ask-reckon.ts';
import { caseById, changeCase, nearestOf, readingsOf, shownOf, wasAsked, type CaseRecord, type ShownAt, type Told } from './records.ts';
import type { Fixer } from './model.ts';
import type { Verdict, VerdictKind } from './verdict.ts';

/** Marks a change after which the case is reckoned again. */
export const again = { step: 'again' } as const;

/** Returns undefined to change nothing. */
export type CaseWork = (tx: Tx, row: CaseRecord) => Promise<Partial<CaseRecord> | undefined>;

const FIXERS: Partial<Readonly<Record<VerdictKind, readonly Fixer[]>>> = { book: ['technician', 'trained'], 'other-trade': ['other-trade'], 'nothing-wrong': ['nobody'] };

/** A danger is named as what stops a machine from this chance on; the rules stop it at less. */
const CANNOT_RULE_OUT = 0.005;

/** What every conversation about a case works with: reading it, changing it, showing it wherever it stands. */
export const createDesk = (needs: AskNeeds, { advance }: Reckoning) => {
  const { store, words, ids, catalogue } = needs;
  const questions = new Map(catalogue.questions.map((question) => [question.id, question]));
  const symptoms = new Map(catalogue.symptoms.map((symptom) => [symptom.id, symptom]));
  const causes = new Map(catalogue.causes.map((cause) => [cause.id, cause]));
  const jobs = new Map(catalogue.jobs.map((job) => [job.id, job]));

  /** The likeliest cause which the verdict is an answer to, so that its two lines agree. */
  const leadOf = (verdict: Verdict): CaseView['lead'] => {
    const job = verdict.choice.steps[0]?.jobs[0];
    const fixers = FIXERS[verdict.choice.kind];
    const fits = (part: string): boolean => (fixers ? fixers.includes(causes.get(part)?.fixer ?? 'technician') : job === undefined || (causes.get(part)?.cures[job] ?? 0) > 0);
    if (verdict.kind === 'stop') return verdict.likely.find(({ cause, chance }) => chance >= CANNOT_RULE_OUT && cause.split('+').some((part) => (causes.get(part)?.danger ?? 'none') !== 'none')) ?? null;
    const { kind } = verdict.choice;
    const asJob = kind === 'bar-job' || kind === 'leave-group-out';
    return fixers || asJob ? (verdict.likely.find(({ cause }) => cause !== 'something-else' && cause.split('+').some(fits)) ?? null) : (verdict.likely[0] ?? null);
  };

  const viewOf = async (tx: Tx, row: CaseRecord, place: PlaceId): Promise<CaseView> => {
    const cafe = await cafeById(tx, row.cafe);
    const machine = await machineById(tx, row.machine);
    const machines = await machinesOf(tx, row.cafe);
    const verdict = row.verdict === null ? null : (JSON.parse(row.verdict) as Verdict);
    const question = row.question === null ? undefined : questions.get(row.question);
    const job = verdict?.choice.steps[0]?.jobs[0];
    const roles = cafe ? await rolesIn(tx, cafe, { id: personId(isDirect(place) ? place.slice(2) : row.asker), name: '', roles: [], manages: false }) : [];
    const readings = readingsOf(row);
    return {
      id: row.id, cafe: row.cafe, zone: cafe?.zone ?? 'UTC', step: row.step, symptom: row.symptom, group: row.group_number, groups: machine?.groups ?? 1, machineNumber: machines.length > 1 ? machines.findIndex(({ id }) => id === row.machine) + 1 : null, nearest: row.symptom === null ? nearestOf(row) : [],
      question: question ? { id: question.id, answers: question.answers.map(({ id }) => id), show: question.show } : null,
      hold: row.hold === 1,
      answered: readings.filter(wasAsked).length,
      given: readings.flatMap((it, at): CaseView['given'] => (it.kind === 'answer' ? [{ at, question: it.question, answer: it.answer }] : it.kind === 'unsure' ? [{ at, question: it.question, answer: null }] : [])),
      because: (verdict?.reasons ?? []).flatMap(({ reading }) => {
        const told = readings[reading];
        return told?.kind === 'answer' ? [{ question: told.question, answer: told.answer, seen: told.seen === undefined ? null : instant(told.seen) }] : [];
      }),
      verdict, lead: verdict ? leadOf(verdict) : null, jobMinutes: job === undefined ? null : (jobs.get(job)?.minutes ?? null), currency: cafe?.currency ?? null,
      contract: contractOf(machine?.contract),
      contractWho: machine ? (readMachineFacts(machine.facts).contractWho ?? null) : null,
      showMoney: isDirect(place) && rightsOf(roles).has('own'), away: isDirect(place), askedBy: place === row.place ? null : row.asker_name,
      waiting: place === row.place && row.state === 'waiting for the bar', closed: row.closed_at === null ? null : row.state === 'fixed' || row.state === 'booked' ? row.state : 'left',
    };
  };

  /** Sides are said as they are at the group of the case. */
  const sayFor = async (tx: Tx, row: Pick<CaseRecord, 'machine' | 'group_number'>, locale: string): Promise<Say> => {
    const turned = row.group_number !== null && (await needs.closesLeft(tx, row.machine, row.group_number));
    return turned ? turnedSay(words.in(locale)) : words.in(locale);
  };

  const draw = async (id: string, place: PlaceId, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await caseById(tx, id);
      const cafe = row && (await cafeById(tx, row.cafe));
      if (!row || !cafe) return undefined;
      const language = words.nearest(locale ?? cafe.language);
      return caseMessage({ say: await sayFor(tx, row, language), locale: language }, await viewOf(tx, row, place));
    });

  const refreshAt = async (tx: Tx, row: CaseRecord, now: Instant, pressedOn?: string): Promise<void> => {
    for (const { key } of shownOf(row)) await redraw(tx, key, now, key === pressedOn);
  };

  const postCase = async (tx: Tx, row: CaseRecord, place: PlaceId, now: Instant): Promise<ShownAt> => {
    const shown = shownOf(row);
    const at = { key: `case.${row.id}.${shown.length}`, place };
    await changeCase(tx, row.id, { shown: JSON.stringify([...shown, at]) });
    await post(tx, ids, now, { key: at.key, cafe: row.cafe, place, kind: 'case', data: { case: row.id }, priority: 'answer' });
    return at;
  };

  /** Whoever asked from afar hears the verdict as a message of its own. */
  const tellAsker = async (tx: Tx, row: CaseRecord, now: Instant): Promise<void> => {
    if (row.state !== 'waiting for the bar' && !shownOf(row).some(({ place }) => place !== row.place)) return;
    await postCase(tx, row, placeId(row.place), now);
  };

  /** Changes a case inside a transaction and shows it everywhere. */
  const changeIn = async (tx: Tx, id: string, now: Instant, pressedOn: string | undefined, work: CaseWork): Promise<void> => {
    const row = await caseById(tx, id);
    const changed = row && (await work(tx, row));
    if (!row || !changed) return;
    const merged = { ...row, ...changed, updated_at: now };
    await changeCase(tx, id, { ...changed, updated_at: now, ...(merged.step === again.step ? await advance(tx, { ...merged, step: row.step }, now) : {}) });
    const after = await caseById(tx, id);
    if (!after) return;
    await refreshAt(tx, after, now, pressedOn);
    if (after.step === 'verdict' && row.step !== 'verdict') await tellAsker(tx, after, now);
  };

  /** The same in the one transaction of the case's café. */
  const change = async (id: string, now: Instant, pressedOn: string | undefined, work: CaseWork): Promise<void> => {
    const cafe = (await read(store, (tx) => caseById(tx, id)))?.cafe;
    if (cafe !== undefined) await transact(store, [cafe], (tx) => changeIn(tx, id, now, pressedOn, work));
  };

  const redrawn = async (pressed: Pressed, id: string, note?: Message): Promise<Answer> => {
    const drawn = await draw(id, pressed.at, pressed.locale);
    if (!drawn) return { kind: 'redraw', message: message([words.in(pressed.locale)('chat.tooOld')]) };
    const key = pressed.shown?.key;
    const version = key === undefined ? undefined : await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', key).executeTakeFirst());
    return { kind: 'redraw', message: drawn, ...(key !== undefined && version ? { shows: { key, version: version.version } } : {}), ...(note ? { private: note } : {}) };
  };

  /** Notes an answer (undefined: nobody knows) to the question that is open; an answer to another one changes nothing. */
  const giveAnswer = async (here: Here, id: string, question: string, answer: string | undefined, pressedOn?: string): Promise<void> =>
    change(id, here.now, pressedOn, async (tx, row) => {
      if (row.step !== 'ask' || row.question !== question) return undefined;
      const known = questions.get(question)?.answers.find((each) => each.id === answer);
      if (answer !== undefined && !known) return undefined;
      const stamp = { by: here.by.name, at: here.now };
      const reading: Told = answer === undefined ? { kind: 'unsure', question, ...stamp } : { kind: 'answer', question, answer, ...stamp };
      if (known?.danger) {
        const cafe = await cafeById(tx, row.cafe);
        if (cafe) await needs.raise(tx, { cafe, machine: row.machine, group: row.group_number, kind: known.danger.kind, act: known.danger.act, by: here.by, caseId: id, text: row.complaint }, here.now);
      }
      return { readings: JSON.stringify([...readingsOf(row), reading]), ...again };
    });

  /** Without the last answer somebody gave; what stood in the complaint or on record stays. */
  const oneBack = (row: CaseRecord): Partial<CaseRecord> | undefined => {
    const readings = readingsOf(row);
    const last = readings.findLastIndex((reading) => wasAsked(reading) && reading.kind !== 'tried');
    return last < 0 ? undefined : { readings: JSON.stringify(readings.toSpliced(last, 1)), ...again };
  };

  return { needs, advance, questions, symptoms, viewOf, sayFor, draw, refreshAt, postCase, change, changeIn, redrawn, giveAnswer, oneBack };
};

export type Desk = ReturnType<typeof createDesk>;
