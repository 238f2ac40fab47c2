import type { Person } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Reckoning } from './ask-reckon.ts';
import type { KnownAnswer } from './ask-known.ts';
import { insertCase, type CaseRecord, type Told } from './records.ts';
import { verdict } from './verdict.ts';

/** Something seen at a group that needs a technician. `symptom` need not be one that the catalogue asks about. */
export type Seen = {
  readonly cafe: string;
  readonly machine: string;
  readonly group: number | null;
  readonly symptom: string;
  /** The complaint it would become if it were left; its causes and parts are reckoned from it. */
  readonly like: string;
  readonly answers: readonly KnownAnswer[];
  /** Who saw it has taken the group out of use. */
  readonly out: boolean;
  /** What was seen, as the technician is told it. */
  readonly text: string;
  readonly place: string;
  readonly by: Person;
};

/** What lies behind it, for whoever comes. What is to be done was said by the look, and stays as it was said. */
const behind = async (tx: Tx, { reckon }: Pick<Reckoning, 'reckon'>, row: CaseRecord, { like, out }: Seen, now: Instant): Promise<string | null> => {
  const laid = await reckon(tx, { ...row, symptom: like }, now);
  if (!laid) return null;
  const found = verdict(laid.model, laid.situation, laid.aCase);
  return JSON.stringify({ ...found, kind: 'book', open: [], choice: { ...found.choice, kind: 'book', meanwhile: out ? 'group-out' : 'go-on' } });
};

/** A case with nothing left to ask, ready to be booked; it is shown nowhere. Returns its id. */
export const createSeen = (ids: Ids, reckoning: Pick<Reckoning, 'reckon'>) => async (tx: Tx, seen: Seen, now: Instant): Promise<string> => {
  const { cafe, machine, group, symptom, text, place, by, answers } = seen;
  const id = ids(now);
  const readings = answers.map(({ question, answer, at }): Told => ({ kind: 'answer', question, answer, by: by.name, at, seen: at }));
  const row: CaseRecord = {
    id, cafe, machine, group_number: group, group_asked: 1, step: 'verdict', state: 'open', symptom, nearest: '[]', complaint: text, asker: by.id, asker_name: by.name, place, shown: '[]',
    readings: JSON.stringify(readings), question: null, hold: 0, verdict: null, photos: '[]', machine_state: null, opened_at: now, updated_at: now, closed_at: null, rev: 0,
  };
  await insertCase(tx, { ...row, verdict: await behind(tx, reckoning, row, seen, now) });
  return id;
};
