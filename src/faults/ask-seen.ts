import type { Person } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { insertCase } from './records.ts';

/** Something seen at a group that needs a technician. `symptom` need not be one that the catalogue asks about. */
export type Seen = {
  readonly cafe: string;
  readonly machine: string;
  readonly group: number;
  readonly symptom: string;
  /** What was seen, as the technician is told it. */
  readonly text: string;
  readonly place: string;
  readonly by: Person;
};

/** A case with nothing left to ask, ready to be booked; it is shown nowhere. Returns its id. */
export const openSeen = async (tx: Tx, ids: Ids, { cafe, machine, group, symptom, text, place, by }: Seen, now: Instant): Promise<string> => {
  const id = ids(now);
  await insertCase(tx, {
    id, cafe, machine, group_number: group, group_asked: 1, step: 'verdict', state: 'open', symptom, nearest: '[]', complaint: text, asker: by.id, asker_name: by.name, place, shown: '[]',
    readings: '[]', question: null, verdict: null, photos: '[]', opened_at: now, updated_at: now, closed_at: null, rev: 0,
  });
  return id;
};
