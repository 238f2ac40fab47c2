import { readMachineFacts } from '../cafe/machine-facts.ts';
import type { Machine } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { fittingIn, insertFitting, recordOf, takeOut } from './records.ts';
import { takeFromShelf } from './shelf.ts';

/** A new screen of a group: the one before is out, one is gone from the shelf. */
export const fitScreen = async (tx: Tx, id: string, machine: Machine, group: number, by: { readonly person: string | null; readonly name: string }, now: Instant): Promise<void> => {
  const before = fittingIn(await recordOf(tx, machine.id), group, 'screen');
  if (before) await takeOut(tx, before.id, now, 'other', 'not-looked');
  await insertFitting(tx, {
    id, cafe: machine.cafe, machine: machine.id, group_number: group, part: 'screen', fitted_at: now, met_at: now, fixing: before?.fixing ?? readMachineFacts(machine.facts).screen ?? null,
    by_person: by.person, by_name: by.name, at: now, superseded_by: null,
  });
  await takeFromShelf(tx, { id, cafe: machine.cafe, part: 'screen', at: now, by: { id: by.person, name: by.name } });
};
