import { machineById } from '../cafe/records.ts';
import type { Person, PlaceId } from '../chat/who.ts';
import { openDialogue } from '../store/dialogue.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Desk } from './ask-desk.ts';
import type { Reckoning } from './ask-reckon.ts';
import { caseById, changeCase, insertCase, type CaseRecord, type Told } from './records.ts';

/** A job was done to its end and its check failed. */
export type FailedCheck = {
  readonly cafe: string;
  readonly machine: string;
  readonly group: number;
  /** The complaint that it now is. */
  readonly symptom: string;
  readonly job: string;
  /** What the card has answered already, such as that the seal is new. */
  readonly answers: readonly { readonly question: string; readonly answer: string }[];
  /** What the card was, as a person reads it in the case. */
  readonly text: string;
  readonly place: PlaceId;
  readonly by: Person;
};

/** Questions begun from a card that did not help: group and job are known already and are not asked for. */
export const createAfterCard = ({ needs, postCase }: Desk, { modelOf, advance }: Reckoning) => async (tx: Tx, failed: FailedCheck, now: Instant): Promise<string | null> => {
  const machine = await machineById(tx, failed.machine);
  if (!machine) return null;
  const { cafe, group, symptom, job, answers, text, place, by } = failed;
  const model = modelOf(machine);
  const stamp = { by: by.name, at: now };
  const id = needs.ids(now);
  const tried: readonly Told[] = model.jobs.some((each) => each.id === job) ? [{ kind: 'tried', job, result: 'same', ...stamp }] : [];
  const known = answers.filter(({ question, answer }) => model.questions.some((each) => each.id === question && each.answers.some(({ id: one }) => one === answer)));
  const readings = [...known.map((each): Told => ({ kind: 'answer', ...each, ...stamp, heard: true })), ...tried];
  const row: CaseRecord = {
    id, cafe, machine: machine.id, group_number: group, group_asked: 1, step: 'ask', state: 'open', symptom, nearest: '[]', complaint: text, asker: by.id, asker_name: by.name, place, shown: '[]',
    readings: JSON.stringify(readings), question: null, hold: 0, verdict: null, photos: '[]', opened_at: now, updated_at: now, closed_at: null, rev: 0,
  };
  await insertCase(tx, row);
  await changeCase(tx, id, await advance(tx, row, now));
  const stored = await caseById(tx, id);
  if (stored) await postCase(tx, stored, place, now);
  await openDialogue(tx, needs.ids, now, place, by.id, { kind: 'case', ref: id, cafe });
  return id;
};
