import { machineById } from '../cafe/records.ts';
import type { Person, PlaceId } from '../chat/who.ts';
import { openDialogue } from '../store/dialogue.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Desk } from './ask-desk.ts';
import type { Ending } from './ask-end.ts';
import type { Reckoning } from './ask-reckon.ts';
import { caseById, changeCase, insertCase, type CaseRecord, type Told } from './records.ts';

/** What a card leaves to be asked about. */
export type FromCard = {
  readonly cafe: string;
  readonly machine: string;
  readonly group: number | null;
  /** The complaint it is, or those it may be, the likeliest first. */
  readonly complaints: readonly string[];
  /** Done to its end, and no cure; null: it was left half-way. */
  readonly tried: string | null;
  /** What the card has answered already, such as that the seal is new. */
  readonly answers: readonly { readonly question: string; readonly answer: string }[];
  readonly state: 'hot' | 'cold' | null;
  /** What the card was and where it stood, as a person reads it in the case. */
  readonly text: string;
  readonly place: PlaceId;
  readonly by: Person;
};

/**
 * Questions begun from a card: group, machine and job are known already and are not asked for. Null where none of the
 * complaints can be had of this machine.
 */
export const createFromCard = ({ needs, postCase }: Desk, { modelOf, advance }: Reckoning, { remind }: Pick<Ending, 'remind'>) => async (tx: Tx, given: FromCard, now: Instant): Promise<string | null> => {
  const machine = await machineById(tx, given.machine);
  if (!machine) return null;
  const { cafe, group, tried: job, answers, state, text, place, by } = given;
  const model = modelOf(machine);
  const [symptom, ...others] = given.complaints.filter((id) => model.symptoms.some((each) => each.id === id));
  if (symptom === undefined) return null;
  const stamp = { by: by.name, at: now };
  const id = needs.ids(now);
  const tried: readonly Told[] = job !== null && model.jobs.some((each) => each.id === job) ? [{ kind: 'tried', job, result: 'same', ...stamp }] : [];
  const known = answers.filter(({ question, answer }) => model.questions.some((each) => each.id === question && each.answers.some(({ id: one }) => one === answer)));
  const readings = [...known.map((each): Told => ({ kind: 'answer', ...each, ...stamp, heard: true })), ...tried];
  const isSure = given.complaints.length === 1;
  const row: CaseRecord = {
    id, cafe, machine: machine.id, group_number: group, group_asked: 1, step: 'ask', state: 'open', symptom: isSure ? symptom : null, nearest: isSure ? '[]' : JSON.stringify([symptom, ...others]), complaint: text, asker: by.id, asker_name: by.name, place, shown: '[]',
    readings: JSON.stringify(readings), question: null, hold: 0, verdict: null, photos: '[]', machine_state: state, opened_at: now, updated_at: now, closed_at: null, rev: 0,
  };
  await insertCase(tx, row);
  await changeCase(tx, id, await advance(tx, row, now));
  const stored = await caseById(tx, id);
  if (stored) await postCase(tx, stored, place, now);
  if (stored) await remind(tx, stored, now);
  await openDialogue(tx, needs.ids, now, place, by.id, { kind: 'case', ref: id, cafe });
  return id;
};
